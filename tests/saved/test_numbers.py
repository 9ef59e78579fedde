"""Numbers of saved plans, asked for by several at once."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

from sunsched.errors import WriteRefused
from sunsched.folder.store.write import save_revision
from sunsched.saved.numbers import revision_numbers

ROUNDS, WRITERS = 25, 4


def test_each_has_a_number_of_its_own(tmp_path):
    """A hundred saves by four at once: a hundred numbers, and no file that is not whole."""
    with ThreadPoolExecutor(WRITERS) as pool:
        got = list(pool.map(lambda _: save_revision(tmp_path, str), range(ROUNDS * WRITERS)))
    assert sorted(got) == list(range(1, ROUNDS * WRITERS + 1))
    assert revision_numbers(tmp_path) == tuple(sorted(got))
    texts = [path.read_text() for path in sorted((tmp_path / "plans").iterdir())]
    assert texts == [str(number) for number in sorted(got)]


def test_of_those_that_follow_one_plan_one_is_saved(tmp_path):
    """Each looks at what is newest while it alone may save: of four, one is saved in each round."""
    start = Barrier(WRITERS)

    def take(_):
        saved = 0
        for turn in range(ROUNDS):

            def follow(number, turn=turn):
                if max(revision_numbers(tmp_path), default=0) != turn:
                    raise WriteRefused("saved meanwhile")
                return str(number)

            start.wait()
            try:
                save_revision(tmp_path, follow)
                saved += 1
            except WriteRefused:
                pass
            start.wait()
        return saved

    with ThreadPoolExecutor(WRITERS) as pool:
        assert sum(pool.map(take, range(WRITERS))) == ROUNDS
    assert revision_numbers(tmp_path) == tuple(range(1, ROUNDS + 1))
