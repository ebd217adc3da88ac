"""The front door: headers, cookies, the throttle, the first-run code, what serve refuses."""

import stat
import uuid
from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.http import HttpResponse
from django.test import Client, RequestFactory
from django.urls import reverse
from django.utils import timezone

from rack import firstrun
from rack.actions.people import user_of_token
from rack.calc.checks import asks, stops
from rack.errors import ChangedMeanwhile, NotAllowed, Refused
from rack.management.commands import serve
from rack.middleware import RefusalSentences, client_address, strict_headers
from rack.models import Device, Journal, Token
from rack.neighbours import neighbours
from tests import stock

# Headers


@pytest.mark.django_db
def test_every_page_forbids_what_does_not_come_from_this_site(client):
    policy = client.get(reverse("login")).headers["Content-Security-Policy"]
    for rule in ("default-src 'self'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'self'"):
        assert rule in policy.split("; ")
    assert "unsafe" not in policy
    assert "data:" not in policy


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("header", "value"),
    [
        ("X-Content-Type-Options", "nosniff"),
        ("X-Frame-Options", "DENY"),
        ("Referrer-Policy", "same-origin"),
        ("Cross-Origin-Opener-Policy", "same-origin"),
    ],
)
def test_every_page_carries_the_other_headers_too(client, header, value):
    assert client.get(reverse("login")).headers[header] == value
    assert client.get("/no/such/page").headers[header] == value


def test_a_file_may_set_a_stricter_policy_of_its_own():
    def view(request):
        return HttpResponse(headers={"Content-Security-Policy": "sandbox"})

    answer = strict_headers(view)(RequestFactory().get("/"))
    assert answer.headers["Content-Security-Policy"] == "sandbox"


# Refusals


@pytest.mark.parametrize(
    ("error", "status"),
    [
        (Refused([stops("Too short."), asks("Really?")]), 422),
        (NotAllowed("To close a tally you must be supervisor."), 403),
        (ChangedMeanwhile("It was 31.24, it is 31.42 now."), 409),
    ],
)
def test_a_refusal_becomes_its_status_and_its_sentence(error, status):
    answer = RefusalSentences(lambda request: HttpResponse()).process_exception(
        RequestFactory().post("/api/readings"), error
    )
    assert answer.status_code == status
    assert str(error) in answer.content.decode()


def test_every_problem_of_a_refusal_is_told_not_only_the_first():
    answer = RefusalSentences(lambda request: HttpResponse()).process_exception(
        RequestFactory().post("/api/readings"), Refused([stops("Too short."), asks("Really?")])
    )
    assert b'"problems": ["Too short.", "Really?"]' in answer.content


def test_a_slip_of_the_program_is_not_dressed_up_as_a_refusal():
    middleware = RefusalSentences(lambda request: HttpResponse())
    assert middleware.process_exception(RequestFactory().get("/"), KeyError("x")) is None


# The throttle


def sign_in(name: str, password: str, address: str, **more: str) -> int:
    body = {"username": name, "password": password}
    return Client().post(reverse("login"), body, REMOTE_ADDR=address, headers=more).status_code


@pytest.fixture
def two_people(db, settings):
    settings.AXES_FAILURE_LIMIT, settings.WRONG_FOR_NAME, settings.WRONG_AT_ADDRESS = 3, 6, 9
    return stock.person("ada"), stock.person("ben")


def test_the_right_password_signs_in(two_people):
    assert sign_in("ada", stock.PASSWORD, "10.0.0.1") == 302


@pytest.mark.django_db
def test_one_persons_wrong_passwords_lock_that_name_and_not_the_rig():
    """The limits as they are set, at the one address that a rig shares."""
    stock.person("ada"), stock.person("ben")
    for _ in range(15):
        sign_in("ada", "wrong", "10.0.0.1")
    assert sign_in("ada", stock.PASSWORD, "10.0.0.1") == 429
    assert sign_in("ben", stock.PASSWORD, "10.0.0.1") == 302
    assert sign_in("ada", stock.PASSWORD, "10.0.0.2") == 302


@pytest.mark.django_db
def test_the_tenth_wrong_password_locks_and_the_ninth_does_not():
    stock.person("ada")
    codes = [sign_in("ada", "wrong", "10.0.0.1") for _ in range(10)]
    assert codes == [200] * 9 + [429]


@pytest.mark.django_db
def test_an_address_waits_after_a_hundred():
    stock.person("ada")
    for n in range(99):
        sign_in(f"name{n}", "wrong", "10.0.0.1")
    assert sign_in("ada", stock.PASSWORD, "10.0.0.1") == 302
    sign_in("name99", "wrong", "10.0.0.1")
    assert sign_in("ada", stock.PASSWORD, "10.0.0.1") == 429
    assert sign_in("ada", stock.PASSWORD, "10.0.0.2") == 302


def test_a_name_waits_wherever_it_is_tried_from(two_people):
    for last in range(6):
        sign_in("ada", "wrong", f"10.0.0.{last}")
    assert sign_in("ada", stock.PASSWORD, "10.0.0.99") == 429
    assert sign_in("ben", stock.PASSWORD, "10.0.0.99") == 302


@pytest.mark.parametrize(("own", "code"), [(True, 302), (False, 429)])
def test_a_stranger_does_not_lock_a_person_out_of_the_device_they_work_from(two_people, own, code):
    ada, ben = two_people
    device = Device.objects.create(label="tablet", first_seen=timezone.now())
    Journal.objects.create(
        key=uuid.uuid4(), verb="read", by=ada if own else ben, device=device, at=timezone.now()
    )
    for last in range(6):
        sign_in("ada", "wrong", f"172.16.0.{last}")
    hers = Client()
    hers.cookies["tierbook_device"] = str(device.pk)
    body = {"username": "ada", "password": stock.PASSWORD}
    assert hers.post(reverse("login"), body, REMOTE_ADDR="10.0.0.1").status_code == code


def test_signing_in_forgives_the_own_name_and_not_what_was_tried_beside(two_people):
    """Else one account of their own would give a stranger tries without end at all the others."""
    for _ in range(2):
        sign_in("ada", "wrong", "10.0.0.1")
        sign_in("ben", "wrong", "10.0.0.1")
    assert sign_in("ben", stock.PASSWORD, "10.0.0.1") == 302
    assert sign_in("ben", "wrong", "10.0.0.1") == 200
    assert sign_in("ada", "wrong", "10.0.0.1") == 429


def test_a_header_that_a_client_writes_does_not_change_its_address(two_people):
    for last in range(9):
        sign_in(f"ann{last}", "wrong", "10.0.0.1", **{"X-Forwarded-For": f"172.16.0.{last}"})
    assert sign_in("ben", stock.PASSWORD, "10.0.0.1", **{"X-Forwarded-For": "172.16.0.9"}) == 429
    request = RequestFactory().get("/", REMOTE_ADDR="10.0.0.1", headers={"X-Forwarded-For": "1.2.3.4"})
    assert client_address(request) == "10.0.0.1"


# The first-run code


@pytest.mark.django_db
def test_the_code_of_the_console_opens_once_and_only_while_there_is_no_account(settings):
    code = firstrun.make()
    assert firstrun.check(code)
    assert firstrun.check(code.lower().replace("-", " "))
    assert not firstrun.check("")
    assert not firstrun.check(code[:-1])
    file = settings.DATA / "first_run"
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert code.replace("-", "") not in file.read_text()
    stock.person("ada")
    assert not firstrun.check(code)


@pytest.mark.django_db
def test_letters_that_look_like_figures_are_read_as_figures(monkeypatch):
    monkeypatch.setattr(firstrun.secrets, "choice", lambda signs: signs[0])
    assert firstrun.make() == "0000-0000-0000"
    assert firstrun.check("oOoO OOOO oooo")


@pytest.mark.django_db
def test_a_new_code_ends_the_one_before_and_done_ends_both():
    old, new = firstrun.make(), firstrun.make()
    assert old != new
    assert not firstrun.check(old)
    firstrun.done()
    assert not firstrun.check(new)


# serve and token


def options(**given: object) -> dict[str, object]:
    plain = {"behind_proxy": False, "proxy_address": "127.0.0.1", "certificate": None, "key": None}
    return {**plain, "host": None, "port": None, **given}


@pytest.fixture
def rig(monkeypatch, settings):
    monkeypatch.setenv("TIERBOOK_ADDRESS", "https://tally.rig.example")
    settings.ADDRESS, settings.HTTPS, settings.DEBUG = "https://tally.rig.example", True, False


def test_serve_wants_the_address_first(monkeypatch):
    monkeypatch.delenv("TIERBOOK_ADDRESS", raising=False)
    with pytest.raises(CommandError, match="TIERBOOK_ADDRESS is not set"):
        serve.check(options(behind_proxy=True))


@pytest.mark.parametrize("given", [{}, {"behind_proxy": True, "certificate": "c", "key": "k"}])
def test_serve_wants_one_way_of_tls_and_not_both(rig, given):
    with pytest.raises(CommandError, match="--behind-proxy .* or --certificate FILE --key FILE"):
        serve.check(options(**given))


@pytest.mark.parametrize("given", [{"certificate": "c"}, {"key": "k"}])
def test_a_certificate_and_its_key_belong_together(rig, given):
    with pytest.raises(CommandError, match="belong together"):
        serve.check(options(**given))


def test_a_certificate_that_cannot_be_read_is_named(rig, tmp_path):
    (tmp_path / "c.pem").write_text("")
    with pytest.raises(CommandError, match=r"k\.pem cannot be read"):
        serve.check(options(certificate=str(tmp_path / "c.pem"), key=str(tmp_path / "k.pem")))


@pytest.mark.parametrize(
    ("name", "value", "sentence"),
    [("HTTPS", False, "over https:// only"), ("DEBUG", True, "TIERBOOK_DEBUG is set")],
)
def test_serve_refuses_what_would_show_too_much(rig, settings, name, value, sentence):
    setattr(settings, name, value)
    with pytest.raises(CommandError, match=sentence):
        serve.check(options(behind_proxy=True))


def test_serve_takes_a_rig_that_has_all_of_it(rig):
    serve.check(options(behind_proxy=True))


def test_gunicorn_believes_no_forwarded_header():
    command = serve.gunicorn_command("0.0.0.0", 8443, "c.pem", "k.pem")
    assert command[command.index("--forwarded-allow-ips") + 1] == ""
    assert command[command.index("--threads") + 1] == "8"


@pytest.mark.django_db
def test_a_token_is_shown_once_and_only_its_digest_is_kept():
    user, out = stock.person("ada"), StringIO()
    call_command("token", "ada", stdout=out)
    token = out.getvalue().strip()
    assert user_of_token(token) == user
    assert token not in str(list(Token.objects.values()))
    assert "ada" not in token


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["nobody", "gone"])
def test_a_token_for_nobody_is_refused(name):
    User.objects.create_user("gone", is_active=False)
    with pytest.raises(CommandError, match="Nobody signs in here as"):
        call_command("token", name)


# Neighbours


def test_what_is_listed_is_handed_over_in_order(settings):
    settings.NEIGHBOURS = {"received": ["math.floor", "math.ceil"]}
    assert [one(1.5) for one in neighbours("received")] == [1, 2]
    assert neighbours("panels") == []


def test_a_list_that_rack_does_not_know_is_a_slip_and_named():
    with pytest.raises(KeyError, match="recieved"):
        neighbours("recieved")
