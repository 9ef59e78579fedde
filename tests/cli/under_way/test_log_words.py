"""What `log` answers: which way minutes are counted, and one fault where one thing is wrong."""


def test_minutes_lost_are_counted_from_the_time_on(run, make_folder):
    """The answer says from when to when."""
    day = make_folder()
    ran = run("log", day, "late", "1h", "--at", "10:20")
    assert ran.out == "1  10:20  60 min lost, from 10:20 to 11:20\n"
    assert "late MINUTES lost from --at on" in " ".join(run("log", "--help").out.split())


def test_figures_below_zero_are_no_options(run, make_folder):
    """They are told as what was typed, and nothing is noted."""
    day = make_folder()
    for word in ("-20", "-1h"):
        ran = run("log", day, "late", word)
        assert ran.code == 2
        assert f"a figure below zero, which looks like an option: `{word}`" in ran.err
        assert "(expected one above zero, such as `20`)" in ran.err
    assert "no such option" in run("log", day, "--lat").err
    assert not (day / "log.csv").exists()


def test_a_forgotten_roll_within_another_is_one_fault(run, make_folder):
    """What is noted again below it is at odds for the same reason."""
    shots = "id,description,size,look,shoot_min\n" + "".join(
        f"{one},Salt,insert,N,20\n" for one in (1, 2, 3)
    )
    day = make_folder(shots=shots)
    forgotten = ("rolled", "2", "--until", "08:50", "--forgotten", "--at", "08:15")
    assert run("log", day, "rolled", "1", "--at", "08:00", "--until", "08:30").code == 0
    assert run("log", day, "rolled", "3", "--at", "09:00", "--until", "09:30").code == 0
    before = (day / "log.csv").read_bytes()
    ran = run("log", day, *forgotten)
    assert ran.code == 1
    assert ran.err == "rolled: 1 rolls since 08:00: `2` (expected `done 1` first)\n"
    assert (day / "log.csv").read_bytes() == before
