"""The shape of the package: imports go one way, modules stay short, and only one place prints."""

import ast
import re
import shutil
from pathlib import Path

import pytest

import sunsched

PACKAGE = Path(sunsched.__file__).parent
# Each may import those before it.
ROOMS = (
    *("day", "folder", "sky", "new", "light", "plan", "solver", "average"),
    *("underway", "saved", "whatif", "show"),
    *("desk", "cli"),
)
MAX_LINES = 300
MOST_MODULES = 12
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


def circles(edges):
    """List the names that can be reached from themselves."""

    def reached(name, seen):
        for target in edges.get(name, ()):
            if target not in seen:
                seen.add(target)
                reached(target, seen)
        return seen

    return sorted(name for name in edges if name in reached(name, set()))


def module_imports(package):
    """Give what each module imports of the package, by full names below it; `a.b` for a/b.py."""
    paths = {
        ".".join(path.relative_to(package).with_suffix("").parts): path
        for path in package.rglob("*.py")
    }
    edges = {}
    for name, path in paths.items():
        targets = set()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module and not node.level:
                whole = node.module.removeprefix("sunsched.")
                parts = {f"{whole}.{alias.name}" for alias in node.names}
                targets |= {one for one in (whole, *parts) if one in paths}
        edges[name] = targets
    return edges


def room_imports(edges):
    """Give which rooms, with their inner ones, each imports."""
    rooms: dict[str, set[str]] = {}
    for name, targets in edges.items():
        room = name.rpartition(".")[0]
        others = {target.rpartition(".")[0] for target in targets} - {room, ""}
        rooms.setdefault(room, set()).update(others)
    return rooms


def test_no_module_and_no_room_leads_back_to_itself():
    """Imports make no circle: not of modules, not of rooms, their inner ones told apart."""
    edges = module_imports(PACKAGE)
    assert sum(map(len, edges.values())) > 500  # imports are found at all
    assert circles(edges) == []
    assert circles(room_imports(edges)) == []


def test_circles_are_found():
    """Two modules, or two rooms, that import each other are named; a chain is not."""
    assert circles({"a": {"b"}, "b": {"c"}, "c": set()}) == []
    assert circles({"a": {"b"}, "b": {"a"}, "c": {"a"}}) == ["a", "b"]
    assert room_imports({"a.x": {"b.y"}, "b.z": {"a.w"}}) == {"a": {"b"}, "b": {"a"}}


def test_every_room_is_small_and_says_what_it_is():
    """A room has at most twelve modules, and three lines: what lives here, comes in, goes out."""
    for folder in {path.parent for path in PACKAGE.rglob("*.py")} - {PACKAGE}:
        name = folder.relative_to(PACKAGE).as_posix()
        modules = [path for path in folder.glob("*.py") if path.name != "__init__.py"]
        assert len(modules) <= MOST_MODULES, name
        told = ast.get_docstring(ast.parse((folder / "__init__.py").read_text(encoding="utf-8")))
        starts = [line.split(":")[0] for line in (told or "").splitlines() if line]
        assert starts[1:] == ["In", "Out"], name


def test_the_map_of_the_rooms_names_every_module_and_no_other():
    """DEVELOPERS.md lists the modules, so that a stranger guesses the right one."""
    text = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
    (drawn,) = re.findall(r"```\nsunsched/\n(.*?)```", text, re.DOTALL)
    there = {path.stem for path in PACKAGE.rglob("*.py")} - {"__init__"}
    assert there - set(re.findall(r"[a-z_]+", drawn)) == set()
    # What stands between dots is a module; what is said of it stands in parentheses.
    listed = re.sub(r"\([^)]*\)", "", drawn).replace("and page.js", "")
    between = re.findall(r"(?<=· )([a-z_]+)", listed)
    assert len(between) > 100
    assert set(between) - there == set()


def test_package_keeps_its_shape():
    """Nothing imports backwards, prints outside the command line or draws outside `show`."""
    assert [what for what in findings(PACKAGE) if not what.endswith(" lines")] == []


def test_modules_stay_short():
    """A module of one noun has at most 300 lines."""
    assert [what for what in findings(PACKAGE) if what.endswith(" lines")] == []


def test_every_module_is_looked_at():
    """The search finds the package's modules, so that an empty list means something."""
    names = {path.name for path in PACKAGE.rglob("*.py")}
    assert {"model.py", "track.py", "rules.py", "errors.py"} <= names


@pytest.mark.parametrize(
    ("module", "line", "what"),
    [
        ("day/model.py", "import sunsched.sky.track", "imports sky"),
        ("day/model.py", "from sunsched import plan", "imports plan"),
        ("day/model.py", "from sunsched import read_day", "imports read_day"),
        ("day/model.py", "import sunsched", "imports top"),
        ("sky/track.py", "from sunsched.light.fit import fit_day", "imports light"),
        ("sky/track.py", "def late():\n    from sunsched.show import chart", "imports show"),
        ("sky/track.py", "late = importlib.import_module('sunsched.cli')", "imports cli"),
        ("plan/rules.py", "from sunsched.whatif.price.price import price", "imports whatif"),
        ("plan/rules.py", "from sunsched.cli import main", "imports cli"),
        (
            "plan/timetable.py",
            "if TYPE_CHECKING:\n    import sunsched.show",
            "imports show",
        ),
        ("whatif/__init__.py", "import sunsched.show.sheets.sheet as sheet", "imports show"),
        ("show/__init__.py", "from sunsched.cli import main", "imports cli"),
        ("errors.py", "from sunsched.day.model import Day", "imports day"),
        ("__init__.py", "from sunsched.day.model import Day", "imports day before it is needed"),
        ("plan/rules.py", "import matplotlib", "imports matplotlib"),
        ("whatif/__init__.py", "from matplotlib.figure import Figure", "imports matplotlib"),
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
        ("plan/rules.py", "from sunsched.day.model import Day"),
        ("plan/rules.py", "from sunsched.errors import SunschedError"),
        ("show/__init__.py", "from matplotlib.figure import Figure"),
        ("show/__init__.py", "from sunsched.whatif import price"),
        ("cli/shared/app.py", "from sunsched.show import sheets\nprint('here')"),
        ("__init__.py", "def __getattr__(name):\n    from sunsched.plan import plan"),
        ("day/model.py", "text = 'print()'  # print('here')"),
    ],
)
def test_planted_good_line_passes(tmp_path, module, line):
    """What is allowed is not found."""
    assert planted(tmp_path, module, line) == []


def test_planted_length_and_stray_module_are_caught(tmp_path):
    """A module may have 300 lines and not 301; one outside every room is named."""
    assert planted(tmp_path / "just", "day/long.py", "x = 1\n" * 299 + "x = 1") == []
    long = planted(tmp_path / "over", "day/long.py", "x = 1\n" * 300 + "x = 1")
    assert long == ["day/long.py has 301 lines"]
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
