"""One word for one thing: the glossary of DEVELOPERS.md, held against all texts of the project.

A row of the glossary may end with `not: …`, the words that it replaces. Read are the README,
DEVELOPERS.md, and of the package every docstring, comment, message and page. A text of one word
is no message: keys of `--json` and names of other standards stay as they are.
"""

import ast
import re
import tokenize
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DEVELOPERS = "DEVELOPERS.md"
NOT = "; not: "
# Uses of a replaced word that are right: the file, the text around the word, and why.
EXCEPTIONS = {
    ("README.md", "the location manager"): "the name of a trade",
}


def glossary(text):
    """Give the words of each row of the glossary, with what they replace."""
    part = text.split("\n## Glossary\n")[1].split("\n## ")[0]
    rows = [line.strip("| ").split(" | ") for line in part.splitlines() if line.startswith("| ")]
    assert rows[0] == ["word", "meaning"]
    return {words: meaning.partition(NOT)[2] for words, meaning in rows[1:]}


def words_of(listed):
    """Split a list of words such as `light (a), choice: best, push`."""
    return [word for word in re.split(r", |: ", listed) if word]


def without_brackets(word):
    """Leave out what follows a word in brackets: its sign, or what it is said of."""
    return word.partition(" (")[0]


def without_replaced(text):
    """Leave out the glossary's own lists of replaced words."""
    return re.sub(rf"{re.escape(NOT)}.*", "", text)


def texts_of_module(path):
    """List the docstrings, comments and messages of a module."""
    nodes = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    texts = [one.value for one in nodes if isinstance(one, ast.Constant)]
    messages = [text for text in texts if isinstance(text, str) and " " in text]
    with tokenize.open(path) as file:
        tokens = list(tokenize.generate_tokens(file.readline))
    return messages + [one.string for one in tokens if one.type == tokenize.COMMENT]


@cache
def texts():
    """Give all texts that people read, by file, each on one line."""
    found = {name: (ROOT / name).read_text(encoding="utf-8") for name in ("README.md", DEVELOPERS)}
    found[DEVELOPERS] = without_replaced(found[DEVELOPERS])
    for path in sorted((ROOT / "sunsched").rglob("*.*")):
        if path.suffix == ".py":
            found[path.relative_to(ROOT).as_posix()] = "\n".join(texts_of_module(path))
        elif path.suffix in {".html", ".js"}:
            found[path.relative_to(ROOT).as_posix()] = path.read_text(encoding="utf-8")
    return {name: " ".join(re.sub(r"(?m)^\s*#", "", text).split()) for name, text in found.items()}


def around(word, text):
    """Give what stands around each use of a word in a text, whatever its capitals."""
    pattern = rf"\b{re.escape(word)}\b"
    uses = re.finditer(pattern, text, re.IGNORECASE)
    return [text[max(0, use.start() - 40) : use.end() + 40] for use in uses]


def has_term(term, text):
    """Say whether a text uses a word of the glossary, also with an ending, or as a field's name."""
    pattern = "[ _]".join(rf"{re.escape(word)}(s|es)?" for word in without_brackets(term).split())
    return re.search(rf"\b{pattern}\b", text, re.IGNORECASE) is not None


def is_excepted(name, use):
    """Say whether a use of a replaced word is one of the exceptions."""
    return any(file == name and part in use for file, part in EXCEPTIONS)


GLOSSARY = glossary((ROOT / DEVELOPERS).read_text(encoding="utf-8"))
TERMS = [word for words in GLOSSARY for word in words_of(words)]
REPLACED = [word for listed in GLOSSARY.values() for word in words_of(listed)]


@pytest.mark.parametrize("term", TERMS)
def test_terms_are_used(term):
    """A word that the glossary explains is one that the package or the README uses."""
    assert [name for name, text in texts().items() if name != DEVELOPERS and has_term(term, text)]


@pytest.mark.parametrize("word", REPLACED)
def test_replaced_words_are_not_used(word):
    """No text uses a word that the glossary replaces by another."""
    uses = [(name, use) for name, text in texts().items() for use in around(word, text)]
    assert [one for one in uses if not is_excepted(*one)] == []


def test_no_word_is_both_explained_and_replaced():
    """The glossary explains each word once, and replaces none that it explains."""
    assert len(REPLACED) >= 20
    assert len({*TERMS, *REPLACED}) == len(TERMS) + len(REPLACED)


@pytest.mark.parametrize(("name", "part"), EXCEPTIONS)
def test_exceptions_are_needed(name, part):
    """An exception whose text is gone, or has no replaced word, is taken away."""
    assert part in texts()[name]
    assert any(around(word, part) for word in REPLACED)


def test_a_wrong_word_is_found(tmp_path):
    """A replaced word is found in a docstring, a comment and a message, on one line or two."""
    path = tmp_path / "planted.py"
    path.write_text(
        '"""It is Skipped."""\n\nNAME = "skipped"  # skipped, too\nTEXT = f"{NAME} is skipped"\n',
        encoding="utf-8",
    )
    found = "\n".join(texts_of_module(path))
    assert len(around("skipped", found)) == 3
    assert around("skip", found) == []
    assert around("set-up time", "the set-up time") == ["the set-up time"]


def test_a_glossary_is_read_row_by_row():
    """A row gives its words and what they replace; the latter is no use of a replaced word."""
    row = "| a (A), b: c | d; not: e, f g |"
    text = f"\n## Glossary\n\n| word | meaning |\n|---|---|\n{row}\n\n## Next"
    assert glossary(text) == {"a (A), b: c": "e, f g"}
    assert words_of("a (A), b: c") == ["a (A)", "b", "c"]
    assert [without_brackets(word) for word in ("a (A)", "b")] == ["a", "b"]
    assert words_of("") == []
    assert has_term("a b (A)", "The a_b")
    assert has_term("breach", "no breaches")
    assert not has_term("a b (A)", "an a or b")
    assert without_replaced(text) == text.replace("; not: e, f g |", "")
