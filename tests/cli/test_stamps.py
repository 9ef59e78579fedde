"""What stands on sheets and pictures of commands: what they are of, and whether that is old."""

from datetime import UTC, datetime, timedelta

import pytest

from sunsched.cli.shared.saved_plan import restored, stamp_of
from sunsched.folder.read import read_day
from sunsched.saved.revisions import read_revision
from sunsched.show.records.saved import save_plan
from sunsched.show.stamp import behind_text, stamp_text
from sunsched.solver.solve import make_plan

SAVED = datetime(2027, 6, 8, 18, 2, tzinfo=UTC)
NOW = datetime(2027, 6, 9, 9, 40, tzinfo=UTC)


@pytest.fixture
def day(make_folder):
    """Give a day folder with a plan that was saved as revision 1 on the evening before."""
    folder = make_folder()
    save_plan(folder, make_plan(read_day(folder)), made_at=SAVED)
    return folder


def stamp(folder, number=1, **more):
    """Give the stamp of a revision, or with None of a proposal."""
    saved = None if number is None else read_revision(folder, number)
    return stamp_of(folder, read_day(folder), NOW, saved, **more)


def test_nothing_is_behind_where_nothing_happened(day):
    """The newest plan of a folder without a log is not old, and a proposal is none of the saved."""
    asked, fresh = read_day(day), stamp(day)
    assert (fresh.revision, fresh.saved_at, fresh.behind) == (1, SAVED, ())
    assert stamp_text(asked, fresh) == (
        f"revision 1 of 2027-06-08 20:02, made 2027-06-09 11:40 {asked.place.timezone} time, "
        "knows no event of the log"
    )
    assert stamp_text(asked, stamp(day, None)).startswith("proposal, not saved, made 2027-06-09")
    assert stamp(day, None).behind == ()


def test_a_newer_revision_makes_a_sheet_old(day):
    """It says which, and its time; a proposal is newer than all that is saved."""
    later = NOW - timedelta(minutes=5)
    save_plan(day, make_plan(read_day(day)), made_at=SAVED + timedelta(hours=1))
    assert stamp(day).behind == ("revision 2 of 2027-06-08 21:02 is newer",)
    save_plan(day, make_plan(read_day(day)), made_at=later)
    assert behind_text(stamp(day)) == "OUT OF DATE: revision 3 of 11:35 is newer"
    assert stamp(day, 3).behind == ()
    assert stamp(day, None).behind == ()
    (day / "plans" / "0003.json").write_text("{", encoding="utf-8")
    assert stamp(day).behind == ("revision 3 is newer",)


def test_events_since_make_a_sheet_old(run, day):
    """Of the events that it knows the last is named; of those that it does not, the last too.

    A saved plan is old where the day has left it; the sheet of a proposal knows none of them.
    """
    for at, words in (("07:00", ("rolled", "1")), ("07:30", ("done", "1"))):
        assert run("log", day, *words, "--at", at).code == 0
    told = "the log has 2 events that it does not know, the last 07:30 1 done"
    assert stamp(day, None).behind == (told,)
    left = "the day left it with 07:00 1 rolls: it has 1 rolling at 07:10"
    assert stamp(day).behind == (left,)
    said = "knows no event of the log; 2 since: 07:30 1 done"
    assert stamp_text(read_day(day), stamp(day)).endswith(said)
    assert run("replan", day, "--at", "07:30", "--for", "planned", "--take", "best").code == 0
    fresh = stamp(day, 2)
    assert (fresh.events, fresh.newest, fresh.behind) == (2, "07:30 1 done", ())
    assert stamp_text(read_day(day), fresh).endswith("knows the log up to event 2: 07:30 1 done")
    assert stamp(day, None, known=2).behind == ()
    assert len(stamp(day).behind) == 2
    assert run("log", day, "late", "5", "--at", "07:40").code == 0
    # Nothing is to come any more that these minutes could put off.
    assert stamp(day, 2).behind == ()
    said = "event 2: 07:30 1 done; 1 since, as planned: 07:40 5 min lost"
    assert stamp_text(read_day(day), stamp(day, 2)).endswith(said)
    (day / "log.csv").write_text("what\n", encoding="utf-8")
    assert stamp(day, 1).behind[1:] == ("the log cannot be read",)


def test_a_day_that_goes_by_its_plan_makes_no_sheet_old(run, day, tmp_path):
    """Neither the bar nor a warning; the stamp names the newest event all the same."""
    page = tmp_path / "x.html"
    assert run("log", day, "rolled", "1", "--at", "07:12").code == 0
    found = run("sheet", day, page)
    assert (found.code, found.err) == (0, f"{page} written\n")
    text = page.read_text(encoding="utf-8")
    assert "OUT OF DATE" not in text
    assert "knows no event of the log; 1 since, as planned: 07:12 1 rolls" in text


def test_a_day_that_changed_makes_a_sheet_old_where_the_plan_cannot_be_followed(day):
    """A shot that is gone does; a new text of a shot, and a forecast, do not."""
    said = "the day has changed since it was saved, and it cannot be followed as it was"

    def behind():
        asked, saved = read_day(day), read_revision(day, 1)
        return stamp_of(day, asked, NOW, saved, found=restored(day, asked, saved)).behind

    assert behind() == ()
    (day / "sky.csv").write_text("hour,cloud_cover\n06:00,0.9\n19:00,0.9\n", encoding="utf-8")
    assert behind() == ()
    shots = (day / "shots.csv").read_text(encoding="utf-8")
    (day / "shots.csv").write_text(shots.replace("\n1,", "\n2,"), encoding="utf-8")
    assert behind() == (said,)


def test_pictures_say_whether_their_plan_is_saved(run, day, tmp_path):
    """A new plan and a choice not taken are proposals; what shows no plan has its time alone."""

    def said(*words):
        assert run(*words, "--picture", tmp_path / "x.svg").code == 0
        return (tmp_path / "x.svg").read_text(encoding="utf-8")

    new = said("plan", day, "--for", "planned")
    assert "proposal, not saved, made" in new
    assert "OUT OF DATE" not in new
    assert "revision 2, made" in said("plan", day, "--for", "planned", "--save")
    assert "OUT OF DATE: revision 2 of" in said("plan", day, "--revision", "1")
    for at, words in (("07:00", ("rolled", "1")), ("07:30", ("done", "1"))):
        assert run("log", day, *words, "--at", at).code == 0
    replan = ("replan", day, "--at", "07:30", "--for", "planned")
    choice = said(*replan)
    assert "proposal, not saved" in choice
    assert "event 2: 07:30 1 done" in choice
    assert "OUT OF DATE" not in choice
    assert "revision 3, made" in said(*replan, "--take", "best")
    assert "revision 3, made" in said("sun", day)
    skyline = said("skyline", day)
    assert ">made 20" in skyline
    assert "saved" not in skyline


def test_handouts_say_what_they_are(run, day, tmp_path):
    """A price is a proposal; of two revisions the head says which, and a newer one makes it old."""
    words = ("--for", "planned", "--first", "1", "--sheet", tmp_path / "a.html")
    assert run("price", day, *words).code == 0
    assert "proposal, not saved" in (tmp_path / "a.html").read_text(encoding="utf-8")
    for _ in range(2):
        save_plan(day, make_plan(read_day(day)), made_at=SAVED)
    assert run("compare", day, "1", "2", "--sheet", tmp_path / "b.html").code == 0
    page = (tmp_path / "b.html").read_text(encoding="utf-8")
    assert "proposal" not in page
    assert '<p id="behind">OUT OF DATE: revision 3 of' in page
