"""A hold at one tap, with a photo of what was seen."""

import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from rack.actions import pieces as actions
from rack.actions.pencil import MOST_BYTES
from rack.errors import AlreadyUsed
from rack.models import Component, File, Hold
from tests import stock

PHOTO = b"\x89PNG\r\n\x1a\n an invented photograph"


@pytest.fixture
def here(db):
    return stock.site()


@pytest.fixture
def joint(here):
    return stock.pieces(stock.rack(here), 1)[0]


def client(role: str, here) -> Client:
    found = Client()
    found.force_login(stock.person(role, role, here), backend="django.contrib.auth.backends.ModelBackend")
    return found


def hold(desk: Client, joint, data: bytes | None = PHOTO, name: str = "box.png", **more: str):
    sent: dict[str, object] = {"key": str(uuid.uuid4()), "reason": "damaged box", **more}
    if data is not None:
        sent["photo"] = SimpleUploadedFile(name, data)
    return desk.post(f"/piece/{joint.tag}/hold/", sent)


@pytest.mark.parametrize("role, status, holds", [
    ("crew", 302, 1), ("supervisor", 302, 1), ("office", 302, 1), ("viewer", 403, 0),
])  # fmt: skip
def test_everybody_but_a_viewer_holds_with_a_photo(here, joint, role, status, holds):
    desk = client(role, here)
    assert hold(desk, joint).status_code == status
    assert Component.objects.get().holds_n == holds == Hold.objects.count()
    if holds:
        page = desk.get(f"/piece/{joint.tag}/").content.decode()
        at = f"/piece/{joint.tag}/hold/{Hold.objects.get().pk}/photo/"
        assert at in page and "Hold: slip cut" in page
        answer = desk.get(at)
        assert answer.content == PHOTO and answer.headers["Content-Disposition"].startswith("attachment")
        assert answer.headers["Content-Security-Policy"] == "sandbox; default-src 'none'"
        assert answer.headers["X-Content-Type-Options"] == "nosniff"


def test_a_hold_without_a_photo_has_none_to_save(here, joint):
    desk = client("crew", here)
    assert hold(desk, joint, None).status_code == 302
    assert "Save its photo" not in desk.get(f"/piece/{joint.tag}/").content.decode()
    assert desk.get(f"/piece/{joint.tag}/hold/{Hold.objects.get().pk}/photo/").status_code == 404


@pytest.mark.parametrize("data, words", [
    (b"MZ a program", "no JPEG"), (b"<svg/>", "no JPEG"), (b"", "empty"),
    (b"\x89PNG\r\n\x1a\n" + b" " * MOST_BYTES, "larger than 20 MB"),
], ids=["program", "svg", "empty", "too large"])  # fmt: skip
def test_what_is_no_photo_holds_nothing_and_says_so(here, joint, data, words):
    answer = hold(client("crew", here), joint, data, "box.png")
    assert answer.status_code == 422 and words in answer.content.decode()
    assert not Hold.objects.exists() and not File.objects.exists()


def test_the_same_key_holds_once_and_another_photo_under_it_is_refused(here, joint):
    ask = stock.asks(stock.person("ada", "crew", here))
    first = actions.put_hold(ask, joint, "bent", photo=PHOTO)
    assert actions.put_hold(ask, joint, "bent", photo=PHOTO) == first
    with pytest.raises(AlreadyUsed):
        actions.put_hold(ask, joint, "bent", photo=PHOTO + b"2")
    assert Component.objects.get().holds_n == 1
