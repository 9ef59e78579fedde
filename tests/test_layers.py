"""The shape of the package: imports go one way, modules stay short, and only one place prints."""

import ast
import shutil
from pathlib import Path

import pytest

import sunsched

PACKAGE = Path(sunsched.__file__).parent
ROOMS = ("day", "sky", "order", "change", "show", "cli")  # each may import those before it
MAX_LINES = 320
PRINT = ast.dump(ast.Name(id="print", ctx=ast.Load()))


def findings(package):
    """List everything in a copy of the package that breaks its shape, as `file:line what`."""
    listed = []
    for path in sorted(package.rglob("*.py")):
        name = path.relative_to(package).as_posix()
        text = path.read_text(encoding="utf-8")
        lines = len(text.splitlines())
        if lines > MAX_LINES:
            listed.append(f"{name} has {lines} lines")
        room = room_of(name.removesuffix(".py").split("/"))
        if room not in (*ROOMS, "errors", "top"):
            listed.append(f"{name} stands in no room")
            continue
        listed += [f"{name}:{line} {what}" for line, what in faults(ast.parse(text), room)]
    return listed


def room_of(parts):
    """Give the room of a module's path below the package; the package itself is `top`."""
    return "top" if parts in ([], ["__init__"]) else parts[0]


def faults(tree, room):
    """Yield the line and the text of each fault in one module of a room."""
    lazy = set()
    for node in ast.walk(tree):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda)):
            lazy |= {id(inside) for inside in ast.walk(node)}
        elif isinstance(node, ast.If) and called(node.test) == "TYPE_CHECKING":
            lazy |= {id(inside) for statement in node.body for inside in ast.walk(statement)}
    for node in ast.walk(tree):
        if not isinstance(node, (ast.stmt, ast.expr)):
            continue
        for module in imported(node):
            root, *rest = module.split(".")
            if root == "matplotlib" and room != "show":
                yield node.lineno, "imports matplotlib"
            if root != "sunsched":
                continue
            target = room_of(rest)
            if room == "top":
                if id(node) not in lazy and target != "errors":
                    yield node.lineno, f"imports {target} before it is needed"
            elif not may_import(room, target):
                yield node.lineno, f"imports {target}"
        prints = isinstance(node, ast.Call) and ast.dump(node.func) == PRINT
        if prints and room != "cli":
            yield node.lineno, "prints"


def called(node):
    """Give the last word of a name such as `typing.TYPE_CHECKING`; "" for anything else."""
    if isinstance(node, ast.Attribute):
        return node.attr
    return node.id if isinstance(node, ast.Name) else ""


def may_import(room, target):
    """Tell whether a module of a room may import another: its own room, or one before it."""
    if target == "errors":
        return True
    if room == "errors" or target not in ROOMS:
        return False
    return ROOMS.index(target) <= ROOMS.index(room)


def imported(node):
    """Give the full names of the modules that one node of a syntax tree imports."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom):
        if node.level or node.module == "sunsched":  # relative, or a room by its name
            return [f"sunsched.{alias.name}" for alias in node.names]
        return [node.module]
    if isinstance(node, ast.Call) and node.args:
        first = node.args[0]
        by_name = called(node.func) in ("import_module", "__import__")
        if by_name and isinstance(first, ast.Constant):
            return [str(first.value)]
    return []


def test_package_keeps_its_shape():
    """Nothing imports backwards, prints outside the command line or draws outside `show`."""
    assert [what for what in findings(PACKAGE) if not what.endswith(" lines")] == []


def test_modules_stay_short():
    """A module of one noun has at most 320 lines."""
    assert [what for what in findings(PACKAGE) if what.endswith(" lines")] == []


def test_every_module_is_looked_at():
    """The search finds the package's modules, so that an empty list means something."""
    names = {path.name for path in PACKAGE.rglob("*.py")}
    assert {"model.py", "track.py", "rules.py", "errors.py"} <= names


@pytest.mark.parametrize(
    ("module", "line", "what"),
    [
        ("day/model.py", "import sunsched.sky.track", "imports sky"),
        ("day/model.py", "from sunsched import order", "imports order"),
        ("day/model.py", "from sunsched import read_day", "imports read_day"),
        ("day/model.py", "import sunsched", "imports top"),
        ("sky/track.py", "from sunsched.order.fit import fit_day", "imports order"),
        ("sky/track.py", "def late():\n    from sunsched.show import chart", "imports show"),
        ("sky/track.py", "late = importlib.import_module('sunsched.cli')", "imports cli"),
        ("order/rules.py", "from sunsched.change.price import price", "imports change"),
        ("order/rules.py", "from sunsched.cli import main", "imports cli"),
        (
            "order/timetable.py",
            "if TYPE_CHECKING:\n    import sunsched.show",
            "imports show",
        ),
        ("change/__init__.py", "import sunsched.show.sheet as sheet", "imports show"),
        ("show/__init__.py", "from sunsched.cli import main", "imports cli"),
        ("errors.py", "from sunsched.day.model import Day", "imports day"),
        ("__init__.py", "from sunsched.day.model import Day", "imports day before it is needed"),
        ("order/rules.py", "import matplotlib", "imports matplotlib"),
        ("change/__init__.py", "from matplotlib.figure import Figure", "imports matplotlib"),
        ("sky/track.py", "print('here')", "prints"),
        ("show/__init__.py", "def view():\n    print('here')", "prints"),
    ],
)
def test_planted_fault_is_caught(tmp_path, module, line, what):
    """A fault planted at the end of one module is the one more that is found."""
    new = planted(tmp_path, module, line)
    assert [finding.split(" ", 1)[1] for finding in new] == [what]
    assert new[0].startswith(f"{module}:")


@pytest.mark.parametrize(
    ("module", "line"),
    [
        ("order/rules.py", "from sunsched.day.model import Day"),
        ("order/rules.py", "from sunsched.errors import SunschedError"),
        ("show/__init__.py", "from matplotlib.figure import Figure"),
        ("show/__init__.py", "from sunsched.change import price"),
        ("cli/app.py", "from sunsched.show import page\nprint('here')"),
        ("__init__.py", "def __getattr__(name):\n    from sunsched.order import plan"),
        ("day/model.py", "text = 'print()'  # print('here')"),
    ],
)
def test_planted_good_line_passes(tmp_path, module, line):
    """What is allowed is not found."""
    assert planted(tmp_path, module, line) == []


def test_planted_length_and_stray_module_are_caught(tmp_path):
    """A module may have 320 lines and not 321; one outside every room is named."""
    assert planted(tmp_path / "just", "day/long.py", "x = 1\n" * 319 + "x = 1") == []
    long = planted(tmp_path / "over", "day/long.py", "x = 1\n" * 320 + "x = 1")
    assert long == ["day/long.py has 321 lines"]
    assert planted(tmp_path / "stray", "extra.py", "x = 1") == ["extra.py stands in no room"]


def planted(folder, module, line):
    """Give what is found in a copy of one module only after a line was added at its end."""
    path = folder / "sunsched" / module
    path.parent.mkdir(parents=True)
    original = PACKAGE / module
    if not original.exists():
        path.write_text(f"{line}\n", encoding="utf-8")
        return findings(folder / "sunsched")
    shutil.copy(original, path)
    before = findings(folder / "sunsched")
    with path.open("a", encoding="utf-8") as file:
        file.write(f"\n{line}\n")
    # The two lines more are not what was planted.
    return [
        what
        for what in findings(folder / "sunsched")
        if what not in before and not what.startswith(f"{module} has ")
    ]
