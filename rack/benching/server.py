"""The server that the clients of the bench speak to: `python -m rack.benching.server`, a process of its own.

Says its port in one line and serves until it is ended.
"""

import os


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "rack.settings")
    import django

    django.setup()
    from rack.management.commands._serving import waitress_server

    server = waitress_server("127.0.0.1", 0)
    os.write(1, f"{server.effective_port}\n".encode())
    server.run()


if __name__ == "__main__":
    main()
