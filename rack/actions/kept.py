"""Step 5 of every action: the figures kept on a row, set from the ledgers in one statement.

`audit_ledger` compares the same subqueries with what stands on the rows.
"""

from collections.abc import Iterable

from django.db.models import Count, F, IntegerField, OuterRef, Subquery, Value
from django.db.models.functions import Coalesce

from rack.models import Change, Component, Line, Member, Strap, String, What


def standing_reading(strap_n: int) -> Subquery:
    """The length that stands for a line in one strap, by the line's primary key."""
    rows = Strap.objects.standing().filter(line=OuterRef("pk"), strap_n=strap_n, what="reading")
    return Subquery(rows.order_by("-id").values("nm")[:1])


def open_questions() -> Coalesce:
    """How many readings of a line ask a question that nobody has answered yet."""
    rows = (
        Strap.objects.standing()
        .filter(line=OuterRef("pk"), strap_n__in=[1, 2], questions_n__gt=0, consents=None)
        .order_by()
        .values("line")
        .annotate(n=Count("pk"))
        .values("n")
    )
    return Coalesce(Subquery(rows, output_field=IntegerField()), Value(0))


def governing_strap(field: str) -> Subquery:
    """A field of the strap that governs a piece's length, by the piece's primary key."""
    rows = Strap.objects.standing().filter(component=OuterRef("pk"), strap_n=0)
    return Subquery(rows.order_by("-id").values(field)[:1])


def keep_lines(ids: Iterable[int]) -> None:
    """Set the kept figures of these lines from the straps and consents."""
    Line.objects.filter(pk__in=list(ids)).update(
        first_nm=standing_reading(1), second_nm=standing_reading(2), questions_n=open_questions()
    )


def keep_lengths(ids: Iterable[int]) -> None:
    """Set the kept length of these pieces from the strap that governs each."""
    Component.objects.filter(pk__in=list(ids)).update(
        length_nm=governing_strap("nm"),
        length_kind=Coalesce(governing_strap("kind"), Value("")),
        length_by=governing_strap("pk"),
        version=F("version") + 1,
    )


def keep_members(string: String, ids: Iterable[int]) -> None:
    """Set the kept memberships of these pieces in this string from its standing changes.

    The caller has locked the pieces, so that nobody else writes their changes meanwhile.
    """
    wanted = list(ids)
    Member.objects.filter(string=string, component__in=wanted).delete()
    Member.objects.bulk_create(members_from(string, wanted))


def members_from(string: String, ids: Iterable[int], *, using: str = "default") -> list[Member]:
    """The memberships that the standing changes of these pieces give, in the order of their joining."""
    rows = Change.objects.using(using).standing().filter(string=string, component__in=list(ids))
    open_of: dict[int, Member] = {}
    members = []
    # Plain values: a string that was tripped ten times has twenty changes of each piece.
    for piece, what, rank, at, nm, length in rows.order_by("id").values_list(
        "component", "what", "rank", "happened_at", "depth_nm", "length_nm"
    ):
        if what == What.JOIN:
            made = Member(string=string, component_id=piece, rank=rank, length_nm=length, joined_at=at,
                          joined_nm=nm)  # fmt: skip
            open_of[piece] = made
            members.append(made)
            continue
        made = open_of[piece]
        made.racked = what == What.BACK
        if what == What.LEAVE:
            made.left_at, made.left_nm = at, nm
        else:
            made.rank = rank
    return members
