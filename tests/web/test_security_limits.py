"""Guessing, flooding, wrong hosts, old secrets: what is refused, and that a refusal tells nothing."""

import re
import subprocess
from pathlib import Path
from typing import Any

import pytest
from support.phones import DIVE, Phone, operation
from werkzeug.security import generate_password_hash

from webapp import store
from webapp.actions import accounts, seasons, sharing, storing, sync
from webapp.actions.accounts import METHOD
from webapp.protocol import batch
from webapp.store import users
from webapp.web.app import create_app

ROOT = Path(__file__).parents[2]
NAME, PASSWORD = "Runa Tidewell", "slow kelp drifts"
OLD = "scrypt:512:8:1"
TELLING = ("Traceback", "werkzeug", "peewee", "sqlite", "flask", "python", "/webapp/", ".py")


def test_passwords_are_hashed_with_scrypt_at_the_cost_that_is_advised_today() -> None:
    kind, n, r, p = METHOD.split(":")

    assert kind == "scrypt"
    assert int(n) * int(r) * int(p) >= 2**15 * 8 * 3, "OWASP's least for 32 MiB"


def test_a_hash_of_an_older_cost_is_renewed_at_sign_in_and_a_wrong_password_renews_nothing(diver: Any) -> None:
    with store.transaction():
        users.set_password(1, generate_password_hash(PASSWORD, OLD))
    diver.sign_in(password="a wrong one")
    with store.reading():
        assert users.find_secret(1).password_hash.startswith(OLD)
    diver.sign_in()
    with store.reading():
        assert users.find_secret(1).password_hash.startswith(f"{accounts.METHOD}$")


def test_the_wait_for_a_guesser_grows_with_each_further_guess(diver: Any, app: Any, person: Any, clock: Any) -> None:
    guesser, waits = person(app, "198.51.100.4"), []
    for number in range(8):
        guesser.sign_in(password=f"guess {number}")
    for number in range(3):
        waits.append(int(guesser.sign_in(password="guess").headers["Retry-After"]))
        clock.wait(seconds=waits[-1] + 1)
        assert guesser.sign_in(password=f"guess more {number}").status == 400

    assert waits[0] < waits[1] < waits[2]


def test_a_link_ends_by_itself_on_the_moment(planner_of_may: Any, stranger: Any, clock: Any) -> None:
    page = planner_of_may.fill("/sharing/", {"label": "Ebba", "days": "7"})
    link = next(given["value"] for _, given in page.tags if given.get("id") == "made").removeprefix("http://localhost")

    assert stranger.get(link).status == 200
    clock.wait(days=6, hours=23)
    assert stranger.get(link).status == 200
    clock.wait(hours=2)
    assert [stranger.get(link + end).status for end in ("", "/list.json")] == [404, 404]
    assert "Ended Mon 17 May 2027" in planner_of_may.get("/sharing/").words


def test_a_link_for_good_does_not_end(planner_of_may: Any, stranger: Any, clock: Any) -> None:
    page = planner_of_may.fill("/sharing/", {"label": "Ebba", "days": ""})
    link = next(given["value"] for _, given in page.tags if given.get("id") == "made").removeprefix("http://localhost")
    clock.wait(days=700)

    assert stranger.get(link).status == 200


@pytest.mark.parametrize("days", ["0", "-1", "8", "9999", "1e3", "x"])
def test_a_link_ends_only_after_one_of_the_spans_offered(planner_of_may: Any, days: str) -> None:
    page = planner_of_may.fill("/sharing/", {"label": "Ebba", "days": days})

    assert page.status == 400
    assert page.fault_of("days")
    assert sharing.links(1) == []


def test_revoked_ended_and_guessed_links_look_the_same(planner_of_may: Any, stranger: Any, clock: Any) -> None:
    ended, revoked = (sharing.make_link(1, "", clock(), days) for days in (1, None))
    sharing.revoke(1, 2, clock())
    clock.wait(days=2)
    guessed = "A" * len(ended)

    assert len({stranger.get(f"/share/{token}").html for token in (ended, revoked, guessed)}) == 1


@pytest.mark.parametrize(
    "bad",
    [
        "https://elsewhere.example/", "//elsewhere.example/", "///elsewhere.example/", "/\\elsewhere.example",
        "\\\\elsewhere.example", "/%09/elsewhere.example", "%20//elsewhere.example", "javascript:alert(1)", "here",
        "/\t/elsewhere.example", "http:elsewhere.example", "/%0d%0aSet-Cookie:x=1",
    ],
)  # fmt: skip
def test_no_way_back_leads_elsewhere(diver: Any, bad: str) -> None:
    diver.press("/account/", "/account/sign-out")
    page = diver.fill(f"/account/sign-in?next={bad}", {"name": NAME, "password": PASSWORD}, follow=False)

    assert page.status == 302
    assert re.match(r"/(?![/\\])", page.headers["Location"])
    assert "elsewhere" not in page.headers["Location"] or page.headers["Location"].startswith("/%")
    assert "x=1" not in page.headers.get("Set-Cookie", "")


def test_only_the_hosts_that_are_set_are_answered(settings: Any, person: Any) -> None:
    app = create_app({**settings, "TRUSTED_HOSTS": "slate.example localhost"})

    def asked(host: str, path: str = "/account/sign-in") -> Any:
        return person(app).get(path, base_url=f"http://{host}")

    assert asked("slate.example").status == 200
    for path in ("/account/sign-in", "/boat/today", "/", "/healthz", "/nowhere"):
        page = asked("elsewhere.example", path)
        assert page.status == 400, path
        assert "elsewhere" not in page.html


def test_an_invitation_names_no_host_but_ours(settings: Any, person: Any) -> None:
    diver = person(create_app({**settings, "TRUSTED_HOSTS": "localhost"}))
    diver.sign_up()
    form = diver.get("/account/").form("/account/invite")["fields"]

    assert diver.post("/account/invite", form, headers={"Host": "elsewhere.example"}).status == 400


@pytest.mark.parametrize(
    ("path", "status"),
    [("/nowhere", 404), ("/account/sign-out", 405), ("/share/" + "x" * 3000, 404), ("/static/../webapp/app.py", 404),
     ("/static/%2e%2e/webapp/app.py", 404), ("/service_worker/../webapp/keys.py", 404), ("/history/%00", 404),
     ("/seasons/99999999999999999999999", 404), ("/boat/../account", 404)],
)  # fmt: skip
def test_an_error_page_tells_nothing_of_the_inside(diver: Any, path: str, status: int) -> None:
    page = diver.get(path)

    assert page.status == status
    assert not [word for word in TELLING if word in page.html.replace("/static/", "").lower()]


def test_too_large_a_form_is_refused_and_the_words_say_so(diver: Any) -> None:
    token = diver.get("/sharing/").form("label")["fields"]["csrf_token"]
    page = diver.post("/sharing/make", {"csrf_token": token, "label": "x" * 600_000})

    assert (page.status, "too much at once" in page.words) == (413, True)


def test_every_count_has_its_end_and_says_which(diver: Any, clock: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    for _ in range(sharing.MOST_LINKS):
        sharing.make_link(1, "", clock())
    page = diver.fill("/sharing/", {"label": "one more"})
    assert f"There are {sharing.MOST_LINKS} links already" in page.words

    monkeypatch.setattr(seasons, "MOST_SEASONS", 1)
    diver.set_up()
    assert "There are 1 seasons already" in diver.set_up(name="Two").words


def test_bringing_deleted_seasons_back_does_not_go_beyond_the_count(
    diver: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(seasons, "MOST_SEASONS", 1)
    diver.set_up(name="One")
    token = diver.get("/sharing/").form("label")["fields"]["csrf_token"]
    diver.post("/seasons/1/delete", {"csrf_token": token})
    diver.set_up(name="Two")
    page = diver.post("/seasons/1/restore", {"csrf_token": token})

    assert page.status == 400
    assert "There are 1 seasons already: delete one first" in page.words
    assert [one.name for one in seasons.list_seasons(1)] == ["Two"]


def test_when_a_log_is_as_long_as_may_be_new_dives_are_refused_in_words_and_every_other_change_is_taken(
    diver: Any, clock: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(storing, "MOST_RECORDS", 3)
    phone, dive = Phone(), {**DIVE, "date": "2027-05-10"}

    def send() -> list[str]:
        answer = sync.sync(1, phone.request(today="2027-05-10"), clock())
        phone.take(answer)
        return [one["status"] for one in answer["results"]]

    kept = [phone.put(fields=dive) for _ in range(5)]
    assert send() == ["stored"] * 3 + ["refused"] * 2
    refused = phone.refused[0]
    phone.put(kept[0], {"effort": 7})
    phone.delete(kept[1])
    phone.put(fields=dive)
    assert send() == ["stored", "stored", "refused"]

    monkeypatch.setattr(storing, "MOST_RECORDS", 9)
    answer = sync.sync(1, phone.request(today="2027-05-10", operations=[refused]), clock())
    assert [one["status"] for one in answer["results"]] == ["stored"], "the very same operation, once there is room"


def test_the_words_about_a_full_log_say_how_many_there_are() -> None:
    assert f"There are already {batch.MOST_RECORDS} records" in batch.NO_ROOM.says
    assert batch.MOST_RECORDS >= 40_000


@pytest.mark.parametrize(
    ("fields", "field"),
    [({"note": "n" * 2001}, "note"), ({"signs": ["x" * 5000]}, "signs"), ({"at": "9" * 5000}, "at"),
     ({"extra": 1}, "extra"), ({"reached_m": 10**400}, "reached_m"), ({"dive_s": True}, "dive_s")],
)  # fmt: skip
def test_a_record_that_is_too_large_or_odd_is_refused_by_its_field(
    diver: Any, clock: Any, fields: dict[str, Any], field: str
) -> None:
    asked = Phone().request(today="2027-05-10", operations=[operation(fields={**DIVE, **fields})])
    (result,) = sync.sync(1, asked, clock())["results"]

    assert result["status"] == "refused"
    assert any(fault["field"].startswith(field) for fault in result["faults"])


def test_a_name_is_one_line_of_plain_text_whatever_is_sent(stranger: Any) -> None:
    for name in ("\u202e" + "reversed", "a" * 61, "\x00", "   "):
        page = stranger.fill("/account/sign-up", {"name": name, "password": PASSWORD})
        assert (page.status, bool(page.fault_of("name"))) == (400, True), name
    assert accounts.get_user(1) is None


def git(*arguments: str) -> list[str]:
    """Return what git lists."""
    command = ["git", *arguments]
    return subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=True).stdout.split()


def test_no_secret_and_no_data_is_in_the_repository() -> None:
    data = [".lineslate/lineslate.sqlite3", ".lineslate/lineslate.sqlite3.key", ".lineslate/lineslate.sqlite3-wal"]
    listed, ignored = git("ls-files"), git("check-ignore", *data)

    assert not [name for name in listed if name.endswith((".key", ".sqlite3", ".pem", ".env"))]
    assert data == ignored
    for name in listed:
        if name.startswith("webapp/") and name.endswith(".py"):
            text = (ROOT / name).read_text(encoding="utf-8")
            assert not re.search(r"""SECRET_KEY["']?\s*[:=]\s*["'][^"']+["']""", text), name


def test_without_a_key_in_the_settings_each_data_file_signs_with_one_of_its_own(settings: Any, tmp_path: Path) -> None:
    one = create_app(settings)
    other = create_app({**settings, "DATA_FILE": str(tmp_path / "other.sqlite3")})

    assert len(one.secret_key) == len(other.secret_key) == 64
    assert one.secret_key != other.secret_key
    assert Path(settings["DATA_FILE"] + ".key").stat().st_mode & 0o777 == 0o600
