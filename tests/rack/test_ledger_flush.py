"""The test wrapper itself: a flush passes, and the triggers stand again after it."""

import uuid

import pytest
from django.core.management import call_command
from django.db import DatabaseError, transaction
from django.utils import timezone

from rack.models import guard
from rack.models.journal import Journal


def journal_line() -> Journal:
    return Journal.objects.create(
        key=uuid.uuid4(), verb="test", at=timezone.now(), sentence="A line.", facts="{}"
    )


@pytest.mark.django_db(transaction=True)
def test_a_flush_empties_the_ledgers_and_the_triggers_stand_again():
    line = journal_line()
    with pytest.raises(DatabaseError), transaction.atomic():
        Journal.objects.filter(pk=line.pk).delete()
    call_command("flush", interactive=False, verbosity=0)
    assert not Journal.objects.exists()
    assert guard.missing() == []
    line = journal_line()
    with pytest.raises(DatabaseError), transaction.atomic():
        Journal.objects.filter(pk=line.pk).update(verb="other")
