"""Who may do what: one table, a role against a verb. Roles are held at a site."""

from rack.errors import NotAllowed
from rack.models.people import Post, Role, Site

CREW, SUPERVISOR, OFFICE = Role.CREW, Role.SUPERVISOR, Role.OFFICE

#: Verb -> (the roles that may, the verb in words). Looking is allowed to every role at its site.
VERBS: dict[str, tuple[frozenset[str], str]] = {
    "hold": (frozenset({CREW, SUPERVISOR, OFFICE}), "put a hold on a piece"),
    "release": (frozenset({SUPERVISOR}), "release a hold"),
    "move": (frozenset({CREW, SUPERVISOR, OFFICE}), "move a piece"),
    "name": (frozenset({CREW, SUPERVISOR, OFFICE}), "write down a name of a piece"),
    "fact": (frozenset({CREW, SUPERVISOR, OFFICE}), "note a fact of a piece"),
    "recut": (frozenset({SUPERVISOR}), "write down that a length holds no longer"),
    "well": (frozenset({SUPERVISOR, OFFICE}), "keep the wells"),
    "plan": (frozenset({SUPERVISOR, OFFICE}), "plan a string"),
    "string": (frozenset({SUPERVISOR, OFFICE}), "begin or end a string"),
    "bha": (frozenset({SUPERVISOR, OFFICE}), "print a BHA sheet"),
    "run": (frozenset({CREW, SUPERVISOR, OFFICE}), "write down what goes in the hole and comes out"),
    "hours": (frozenset({CREW, SUPERVISOR, OFFICE}), "write down hours and events"),
    "strap": (frozenset({CREW, SUPERVISOR, OFFICE}), "take a strap"),
    "tally": (frozenset({CREW, SUPERVISOR, OFFICE}), "open and arrange a tally"),
    "close": (frozenset({SUPERVISOR, OFFICE}), "close a tally"),
    "load": (frozenset({CREW, SUPERVISOR, OFFICE}), "put pieces on a load"),
    "send": (frozenset({SUPERVISOR, OFFICE}), "send a load"),
    "receive": (frozenset({SUPERVISOR, OFFICE}), "receive a delivery"),
    "tag": (frozenset({CREW, SUPERVISOR, OFFICE}), "print tags"),
    "place": (frozenset({SUPERVISOR, OFFICE}), "arrange the racks"),
    "inspect": (frozenset({SUPERVISOR}), "record an inspection"),
    "book": (frozenset({SUPERVISOR}), "book pieces for the inspector"),
    "interval": (frozenset({OFFICE}), "set intervals and editions"),
    "reference": (frozenset({OFFICE}), "add to the handbook tables"),
    "settings": (frozenset({OFFICE}), "keep the settings of the site"),
    "accounts": (frozenset({OFFICE}), "keep the accounts"),
}


def can(user: object, verb: str, site: Site | None) -> bool:
    """Whether `user` may do `verb` at `site`; a site of None asks for a post that counts everywhere."""
    roles, _ = VERBS[verb]
    return bool(roles & Post.objects.roles_at(user, site))


def check_can(user: object, verb: str, site: Site | None) -> None:
    """Raise NotAllowed with the sentence for the user unless `user` may do `verb` at `site`."""
    if can(user, verb, site):
        return
    roles, words = VERBS[verb]
    held = Post.objects.roles_at(user, site)
    where = site.name if site else "every site"
    you = f"you are {' and '.join(sorted(held))} there" if held else "you hold no post there"
    anywhere = set() if site or held else set(Post.objects.of(user).values_list("role", flat=True))
    if anywhere:
        you = f"you are {' and '.join(sorted(anywhere))} at a site of your own"
    raise NotAllowed(f"To {words} you must be {' or '.join(sorted(roles))} at {where}; {you}.")


def verbs_for(roles: set[str]) -> frozenset[str]:
    """All verbs that these roles hold, for the screen to hide what is refused."""
    return frozenset(verb for verb, (holders, _) in VERBS.items() if holders & roles)
