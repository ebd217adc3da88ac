"""A delivery laid on a layer is held against the rack's own rating; more than that asks for a reason."""

import pytest
from django.core.management import CommandError

from rack.models import Component, Consent, Delivery, Place
from tests import stock
from tests.rack.test_receiving_head import accept, command, here, layer, office, upload

__all__ = ["here", "layer", "office"]
pytestmark = pytest.mark.django_db
TWO_JOINTS_KG = 551  # 62.21 ft at 19.50 lb/ft are 1,213.1 lb or 550.2 kg


@pytest.fixture
def rated(layer):
    def rate(kg: int) -> None:
        Place.objects.filter(rack=layer.rack, layer=0).update(rated_kg=kg)

    if not Place.objects.filter(rack=layer.rack, layer=0).exists():
        Place.objects.create(site=layer.site, kind="rack", rack=layer.rack, layer=0, path=layer.rack)
    return rate


def test_a_delivery_over_the_rating_of_its_rack_is_asked_about_and_the_reason_is_kept(
    office, layer, rated
) -> None:
    rated(TWO_JOINTS_KG - 2)
    page = upload(office, layer).url
    shown = office.get(page).content.decode()
    assert "would carry 550 kg; its own rating is 549 kg" in shown and 'name="load_reason"' in shown
    refused = accept(office, page, confirmed="yes")
    assert refused.status_code == 422 and "would carry 550 kg" in refused.content.decode()
    assert not Component.objects.exists() and not Consent.objects.exists()
    assert accept(office, page, confirmed="yes", load_reason="two go on at noon").status_code == 302
    consent = Consent.objects.get()
    assert (consent.check_code, consent.reason) == ("rack load", "two go on at noon")
    assert consent.journal == Delivery.objects.get().journal


def test_within_the_rating_nothing_is_asked_and_no_consent_is_written(office, layer, rated) -> None:
    rated(TWO_JOINTS_KG)
    page = upload(office, layer).url
    assert 'name="load_reason"' not in office.get(page).content.decode()
    assert accept(office, page).status_code == 302
    assert not Consent.objects.exists()


def test_what_lies_there_already_counts(office, layer, rated) -> None:
    rated(TWO_JOINTS_KG)
    stock.pieces(layer, 1)
    Component.objects.update(length_nm=stock.feet("31.00"))
    assert "its own rating" in office.get(upload(office, layer).url).content.decode()


def test_the_command_needs_the_reason_too(here, layer, rated, tmp_path) -> None:
    stock.person("bo", "office", here)
    rated(TWO_JOINTS_KG - 2)
    with pytest.raises(CommandError, match="its own rating is 549 kg"):
        command(tmp_path, "--user", "bo", "--place", layer.path, "--confirm")
    command(tmp_path, "--user", "bo", "--place", layer.path, "--confirm", "--reason", "two go on at noon")
    assert Consent.objects.get().reason == "two go on at noon"
