"""Who is let in: by key, by name of the host, by origin; and what stands on every answer."""

import pytest
from starlette.testclient import TestClient

from desk.conftest import HOST, KEYS, PORT
from sunsched.desk.app import make_app
from sunsched.desk.door.access import Access, new_keys
from sunsched.desk.door.guard import MAX_BODY_BYTES

COOKIE = f"sunsched-desk-{PORT}"
VIEW = "/api/ferry-light/view"


@pytest.fixture
def stranger(desk, monkeypatch):
    """Give a client without a key; the processes are not needed."""
    monkeypatch.setattr(type(desk), "start", lambda _: None)
    with TestClient(make_app(desk), base_url=f"http://{HOST}", follow_redirects=False) as client:
        yield client


def test_health_needs_no_key(stranger):
    """Whoever looks after the machine can see that it answers."""
    answer = stranger.get("/health")
    assert (answer.status_code, answer.json()) == (200, {"ok": True})


@pytest.mark.parametrize("path", ["/", VIEW, "/own/desk.css", "/day/ferry-light/day"])
def test_nothing_else_is_shown_without_a_key(stranger, path):
    """Not even a script."""
    assert stranger.get(path).status_code == 401


def test_a_key_in_the_address_becomes_a_cookie_that_no_script_reads(stranger):
    """And goes out of the address."""
    answer = stranger.get("/", params={"key": KEYS.see, "x": "1"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/?x=1")
    kept = answer.headers["set-cookie"].casefold()
    assert "httponly" in kept
    assert "samesite=strict" in kept


def test_a_key_leads_to_no_other_server(stranger):
    """A path that browsers would read as another host stays a path."""
    answer = stranger.get("http://" + HOST + "///elsewhere.example/", params={"key": KEYS.see})
    assert answer.headers["location"] == "/elsewhere.example/"


@pytest.mark.parametrize("key", ["", "see-ke", "see-key2", "ключ", "x" * 10_000])
def test_wrong_keys_open_nothing(stranger, key):
    """Whatever they hold."""
    assert stranger.get("/", params={"key": key}).status_code == 401
    stranger.cookies.set(COOKIE, "no")
    assert stranger.get("/").status_code == 401


def test_each_key_opens_what_it_says():
    """Keys of 128 bits, all different, each run anew."""
    keys, others = new_keys(), new_keys()
    assert len({keys.see, keys.note, keys.all, others.see, others.note, others.all}) == 6
    assert all(len(key) >= 22 for key in (keys.see, keys.note, keys.all))  # 22 signs of 6 bits
    assert [keys.opened_by(keys.of(one)) for one in list(Access)[1:]] == list(Access)[1:]
    assert keys.opened_by(others.all) is Access.NONE


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1", f"localhost.evil.example:{PORT}"])
def test_foreign_hosts_are_refused(stranger, host):
    """A name that somebody else owns may lead to this machine (DNS rebinding)."""
    stranger.cookies.set(COOKIE, KEYS.all)
    answer = stranger.get(VIEW, headers={"host": host})
    assert answer.status_code == 421


@pytest.mark.parametrize("origin", [None, "null", "http://evil.example", "http://127.0.0.1:1"])
def test_pages_from_elsewhere_change_nothing(stranger, origin):
    """A form on another page has the browser's cookies, and another origin."""
    stranger.cookies.set(COOKIE, KEYS.all)
    headers = {} if origin is None else {"origin": origin}
    answer = stranger.post("/api/ferry-light/quick/worth", headers=headers, json={})
    assert answer.status_code == 403


def test_long_bodies_are_refused(stranger):
    """By what they say and by what they send."""
    stranger.cookies.set(COOKIE, KEYS.all)
    origin = {"origin": f"http://{HOST}"}
    body = b"x" * (MAX_BODY_BYTES + 1)
    asked = "/api/ferry-light/quick/worth"
    assert stranger.post(asked, headers=origin, content=body).status_code == 413


@pytest.mark.parametrize("name", ["..", "%2e%2e", "nowhere", "ferry-light%2f..", "."])
def test_only_day_folders_are_reached(stranger, name):
    """No name leads out of where the desk was started."""
    stranger.cookies.set(COOKIE, KEYS.all)
    assert stranger.get(f"/api/{name}/view").status_code == 404


@pytest.mark.parametrize("name", ["../__init__.py", "base.html.j2", "nothing.js", "..%2fapp.py"])
def test_only_scripts_and_styles_are_given(stranger, name):
    """No template and no code of the package."""
    stranger.cookies.set(COOKIE, KEYS.all)
    assert stranger.get(f"/own/{name}").status_code == 404


def test_every_answer_has_a_strict_policy(stranger):
    """Nothing is loaded from elsewhere, nothing runs that is not a file of ours."""
    stranger.cookies.set(COOKIE, KEYS.all)
    for path in ("/health", "/own/desk.css", "/nowhere", "/day/ferry-light/day"):
        headers = stranger.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert headers["x-content-type-options"] == "nosniff"


def test_who_may_only_see_changes_nothing(stranger):
    """Pages that change the day are not shown to others either."""
    stranger.cookies.set(COOKIE, KEYS.see)
    assert stranger.get("/day/ferry-light/set").status_code == 200
    assert stranger.get("/day/ferry-light/shots").status_code == 403
    assert stranger.get("/code/note.svg").status_code == 403
