#!/usr/bin/env python3
"""The one command of Tierbook: `python3 manage.py demo`, `python3 manage.py test`, and the rest."""

import sys

if sys.version_info < (3, 11):
    sys.exit("Tierbook needs Python 3.11 or newer; this is %d.%d." % sys.version_info[:2])


def main() -> int:
    from rack import bootstrap

    arguments = sys.argv[1:]
    code = bootstrap.rerun(arguments)
    if code is not None:
        return code

    from rack import startup

    startup.set_environment(arguments)
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)
    return 0


if __name__ == "__main__":
    sys.exit(main())
