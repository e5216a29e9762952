"""The modules of tripdata stand in an order, imports go one way, and a public name has one home."""

import ast
import shutil
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest

TRIPDATA = Path(__file__).parents[2] / "tripdata"


def modules(root: Path) -> dict[str, ast.Module]:
    """Every module by its dotted name inside tripdata; a package by its own."""
    trees = {}
    for path in sorted(root.rglob("*.py")):
        parts = path.relative_to(root).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        trees[name] = ast.parse(path.read_text(encoding="utf-8"))
    return trees


def lines(root: Path) -> list[list[str]]:
    """The order as the docstring of the package has it."""
    text = ast.get_docstring(modules(root)[""]) or ""
    return [line.strip().split(", ") for line in text.splitlines() if line.startswith("    ")]


def imported(root: Path, name: str, tree: ast.Module) -> Iterator[tuple[str, int]]:
    """What a module imports of the house, wherever in it: dotted inside tripdata, and the line."""
    is_package = (root / Path(*name.split(".")) / "__init__.py").is_file()
    package = name.split(".") if is_package else name.split(".")[:-1]
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.level:
            if node.level > len(package) + 1:
                yield f"{'.' * node.level}{node.module}", node.lineno
                continue
            base = package[: len(package) - node.level + 1]
            targets = [node.module] if node.module else [alias.name for alias in node.names]
            yield from ((".".join([*base, target]), node.lineno) for target in targets)
        elif isinstance(node, ast.Import | ast.ImportFrom):
            module = node.module if isinstance(node, ast.ImportFrom) else node.names[0].name
            if (module or "").split(".")[0] in ("tarebook", "analysis", "notebooks", "tripdata"):
                yield module or "", node.lineno


def wrong_ways(root: Path) -> list[str]:
    """Imports that do not point to a line above, and modules that the order does not have."""
    heights = {name: height for height, line in enumerate(lines(root)) for name in line}
    trees = {name: tree for name, tree in modules(root).items() if name}
    faults = [f"{name}: not in the order" for name in trees.keys() - heights.keys()]
    faults += [f"{name}: in the order, not there" for name in heights.keys() - trees.keys()]
    for name, tree in trees.items():
        for target, line in imported(root, name, tree):
            if heights.get(target, len(heights)) >= heights.get(name, -1):
                faults.append(f"{name}:{line}: imports {target}")
    return faults


def homes(root: Path) -> dict[str, list[str]]:
    """The modules that define each public name: functions, classes, constants."""
    where_defined = defaultdict(list)
    for module, tree in modules(root).items():
        for node in tree.body:
            targets: list[ast.expr] = []
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                where_defined[node.name].append(module)
            elif isinstance(node, ast.Assign | ast.AnnAssign):
                targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            for target in targets:
                names = (n.id for n in ast.walk(target) if isinstance(n, ast.Name))
                for name in names:
                    where_defined[name].append(module)
    return {
        name: where for name, where in where_defined.items() if name[0] != "_" and len(where) > 1
    }


def test_imports_go_one_way() -> None:
    assert wrong_ways(TRIPDATA) == []


def test_a_public_name_is_defined_once() -> None:
    assert homes(TRIPDATA) == {}


@pytest.mark.parametrize(
    ("module", "code", "fault"),
    [
        ("load.py", "def late():\n    from .store import store_path\n", "imports store"),
        ("schema.py", "from .sink import Sink\n", "imports sink"),
        ("normals/named.py", "from ..load import Loader\n", "imports load"),
        ("units.py", "from ..analysis import door\n", "imports ..analysis"),
        ("units.py", "import tarebook.notebooks\n", "imports tarebook.notebooks"),
        ("stray.py", "", "stray: not in the order"),
    ],
)
def test_a_wrong_way_is_noticed(tmp_path: Path, module: str, code: str, fault: str) -> None:
    root = tmp_path / "tripdata"
    shutil.copytree(TRIPDATA, root, ignore=shutil.ignore_patterns("__pycache__"))
    with (root / module).open("a", encoding="utf-8") as file:
        file.write(code)
    (complaint,) = wrong_ways(root)
    assert fault in complaint


def test_a_second_home_is_noticed(tmp_path: Path) -> None:
    root = tmp_path / "tripdata"
    shutil.copytree(TRIPDATA, root, ignore=shutil.ignore_patterns("__pycache__"))
    with (root / "lines.py").open("a", encoding="utf-8") as file:
        file.write("MODES = ()\n")
    assert homes(root) == {"MODES": ["contract", "lines"]}
