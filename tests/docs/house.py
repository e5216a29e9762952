"""What keeps the house in order: each function looks over a checkout and returns what is wrong.

A fault is one line, "file: what is wrong"; an empty list is a house in order. Only the text of the
checkout is read, nothing is imported, so that a small made-up tree can be looked over as well.
"""

import ast
import fnmatch
import re
import tomllib
from collections import defaultdict
from collections.abc import Collection, Iterator
from functools import cache
from pathlib import Path

PARTS = ("tripdata", "analysis", "notebooks")
"""Each may import only those before it."""

LINES = (
    ("stats", "display"),
    ("store",),
    ("catalogue",),
    ("climate", "effort", "wear"),
    ("cold",),
    ("usage",),
    ("comfort", "base_weight", "weigh_up"),
    ("cull",),
    ("ahead",),
    ("buying", "debrief"),
    ("home",),
    ("tables",),
    ("door",),
)
"""The rooms of ``analysis``, lowest first: one may import only from lines before its own."""

_GATHERED = "ENTRIES"
"""The one public name that every room's ``outputs`` has, since ``tables`` gathers it by name."""

_SKIP = "# fmt" + ": skip"
_DECLARING = ("Option", "Entry")
_OTHER_FLAGS = (
    *(("--trip", f"notebooks.{module}") for module in ("cli", "file_commands", "log_command")),
    ("--mode", "notebooks.file_commands"),
    ("--force", "notebooks.file_commands"),
)
"""Of `tarebook new` and `track`: the folder to make or fill, and by which way its tracks went,
where elsewhere they are what to ask about; of `export`, which moves aside what `demo` keeps."""
_FLAG = re.compile(r"--[a-z][a-z-]+[a-z]")
_NOT_SHIPPED = ("README.md", "pictures/*")


@cache
def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


def _sources(folder: Path) -> list[Path]:
    """The Python files under a folder that are the project's own: nothing built or installed."""
    others = {"__pycache__", ".venv", "build"}
    return sorted(p for p in folder.rglob("*.py") if not others & set(p.relative_to(folder).parts))


def _module(path: Path, root: Path) -> tuple[str, ...]:
    """("analysis", "cull", "page", "words"); a package is its folder."""
    parts = path.relative_to(root).with_suffix("").parts
    return parts[:-1] if parts[-1] == "__init__" else parts


def _strings(tree: ast.AST) -> Iterator[tuple[str, int]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value, node.lineno


def _imports(path: Path, root: Path) -> Iterator[tuple[tuple[str, ...], int]]:
    """All that a file imports of the house, wherever in it, with the line.

    A name that is taken from a module is the last part: it may be a module itself.
    """
    package = path.parent.relative_to(root).parts
    for node in ast.walk(_tree(path)):
        if isinstance(node, ast.ImportFrom):
            module = tuple(node.module.split(".")) if node.module else ()
            if node.level:
                module = package[: len(package) - node.level + 1] + module
            elif module[0] == "tarebook":
                module = module[1:]
            else:
                continue
            for name in node.names:
                yield (*module, name.name), node.lineno
        elif isinstance(node, ast.Import):
            for name in node.names:
                first, *rest = name.name.split(".")
                if first == "tarebook":
                    yield tuple(rest), node.lineno


def _called(node: ast.Call) -> str:
    return getattr(node.func, "attr", getattr(node.func, "id", ""))


def _room(module: tuple[str, ...], root: Path) -> str:
    """The room of a module or name of ``analysis``; "" for the package itself, which is on top."""
    if len(module) < 2:
        return ""
    place = root / "analysis" / module[1]
    return module[1] if place.is_dir() or place.with_suffix(".py").is_file() else ""


def wrong_directions(root: Path) -> list[str]:
    """Imports that point up, sideways or by a way that cannot be followed."""
    heights = {room: height for height, line in enumerate(LINES) for room in line}
    heights[""] = len(LINES)
    faults = []
    for part in PARTS:
        for path in _sources(root / part):
            own, where = _module(path, root), path.relative_to(root)
            for target, line in _imports(path, root):
                shown = f"{where}:{line}: imports {'.'.join(target)}"
                if not target or target[0] not in PARTS:
                    faults.append(f"{shown}, which is no part of the house")
                elif PARTS.index(target[0]) > PARTS.index(part):
                    faults.append(f"{shown}, which stands above {part}")
                elif part == target[0] == "analysis":
                    mine, its = _room(own, root), _room(target, root)
                    if mine != its and heights.get(its, -1) >= heights.get(mine, -1):
                        faults.append(f"{shown}: {mine or 'analysis'} may not import {its or 'it'}")
                elif part == "analysis" and _room(own, root) == "stats":
                    faults.append(f"{shown}: stats knows nothing of the rest")
            faults += _unfollowed(path, where)
    return faults


def _unfollowed(path: Path, where: Path) -> list[str]:
    faults = []
    for node in ast.walk(_tree(path)):
        if isinstance(node, ast.Call) and _called(node) in ("import_module", "__import__"):
            faults.append(f"{where}:{node.lineno}: imports by a name that cannot be followed")
        names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
        if isinstance(node, ast.ImportFrom) and not node.level:
            names = [node.module or ""]
        for name in names:
            if name.split(".")[0] in ("tarebook", *PARTS):
                faults.append(f"{where}:{node.lineno}: {name}: expected a relative import")
    return faults


def unlisted_rooms(root: Path) -> list[str]:
    """Folders and modules of ``analysis`` that stand on no line, and lines that name none."""
    listed = {room for line in LINES for room in line}
    folders = {p.relative_to(root / "analysis").parts[0] for p in _sources(root / "analysis")}
    there = {name.removesuffix(".py") for name in folders} - {"__init__"}
    faults = [f"analysis/{name}: stands on no line" for name in sorted(there - listed)]
    return faults + [f"{name}: on a line, not in analysis" for name in sorted(listed - there)]


def unmapped_modules(root: Path) -> list[str]:
    """Modules and folders of a room that its docstring, which is its map, does not name."""
    faults = []
    for folder in (root / "analysis" / room for line in LINES for room in line):
        if folder.is_dir():
            told = ast.get_docstring(_tree(folder / "__init__.py")) or ""
            there = {p.relative_to(folder).parts[0].removesuffix(".py") for p in _sources(folder)}
            unnamed = there - {"__init__", *re.findall(r"`(\w+)[`.]", told)}
            faults += [f"analysis/{folder.name}: no word of {name}" for name in sorted(unnamed)]
    return faults


def page_imports(root: Path) -> list[str]:
    """Imports of a room's ``page`` from another room. Notebooks open pages: they may."""
    faults = []
    for path in _sources(root / "analysis"):
        own = _room(_module(path, root), root)
        for target, line in _imports(path, root):
            if target[:1] == ("analysis",) and target[2:3] == ("page",) and target[1] != own:
                where = path.relative_to(root)
                faults.append(f"{where}:{line}: {'.'.join(target[:3])} is private to {target[1]}")
    return faults


def _defined(body: list[ast.stmt]) -> Iterator[str]:
    for node in body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            yield node.name
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            for target in targets:
                yield from (n.id for n in ast.walk(target) if isinstance(n, ast.Name))
        elif isinstance(node, ast.If | ast.Try | ast.With):
            yield from _defined(node.body)
            yield from _defined(getattr(node, "orelse", []))


def doubled_names(root: Path) -> list[str]:
    """Public names that two modules of ``analysis`` define: functions, classes, constants."""
    homes: dict[str, list[str]] = defaultdict(list)
    for path in _sources(root / "analysis"):
        gathered = {_GATHERED} if path.name == "outputs.py" else set()
        for name in set(_defined(_tree(path).body)) - gathered:
            if not name.startswith("_"):
                homes[name].append(".".join(_module(path, root)[1:]))
    return [
        f"{name}: defined in {' and '.join(sorted(modules))}"
        for name, modules in sorted(homes.items())
        if len(modules) > 1
    ]


def questions_astray(root: Path) -> list[str]:
    """SQL that nobody asks, that another room asks, or that is asked and not there.

    A question's SQL is asked by its own room alone; one in ``store/sql`` by any. A view of
    ``staging`` or ``marts`` is read by other SQL, or named in Python.
    """
    analysis = root / "analysis"
    words: dict[str, set[str]] = defaultdict(set)
    faults = []
    for part in ("analysis", "notebooks"):
        for path in _sources(root / part):
            room = (_room(_module(path, root), root) or part) if part == "analysis" else part
            tree = _tree(path)
            for text, _ in _strings(tree):
                words[text].add(room)
            for node in ast.walk(tree):
                if isinstance(node, ast.Call) and _called(node) == "ask" and len(node.args) > 1:
                    for text, line in _strings(node.args[1]):
                        place = analysis.joinpath(*text.split("/")[:1], "sql", *text.split("/")[1:])
                        if not place.with_suffix(".sql").is_file():
                            where = path.relative_to(root)
                            faults.append(f"{where}:{line}: asks {text}, which is not there")
    questions = sorted(analysis.glob("*/sql/*.sql"))
    views = sorted(analysis.glob("store/sql/*/*.sql"))
    reads = {path: path.read_text("utf-8") for path in [*questions, *views]}
    for path in questions:
        room, where = path.parts[-3], path.relative_to(root)
        asking = words[f"{room}/{path.stem}"]
        if not asking:
            faults.append(f"{where}: nobody asks it")
        elif room != "store" and asking != {room}:
            faults.append(f"{where}: asked by {', '.join(sorted(asking))}; expected {room} alone")
    for path in views:
        read = re.compile(rf"\b(?:FROM|JOIN)\s+{path.stem}\b", re.IGNORECASE)
        named = path.stem in words or any(read.search(text) for text in words)
        if not named and not any(read.search(t) for other, t in reads.items() if other != path):
            faults.append(f"{path.relative_to(root)}: nobody reads it")
    return faults


def unshipped(root: Path) -> list[str]:
    """Packages and data files that an installed copy would lack, and entries that match nothing."""
    tool = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]
    listed = {name.removeprefix("tarebook.").replace(".", "/") for name in tool["packages"]}
    data = {
        name.removeprefix("tarebook.").replace(".", "/"): patterns
        for name, patterns in tool["package-data"].items()
    }
    files = [
        p.relative_to(root)
        for part in PARTS
        for p in sorted((root / part).rglob("*"))
        if p.is_file() and not {"__pycache__", ".ipynb_checkpoints"} & set(p.parts)
    ]
    holding = {p.parent.as_posix() for p in files if p.suffix == ".py"}
    faults = [f"{name}: holds code and is no package" for name in sorted(holding - listed)]
    faults += [f"{name}: a package without code" for name in sorted(listed - holding)]
    matched = set()
    for file in (p for p in files if p.suffix not in (".py", ".pyc")):
        fits = {(p, g) for p, gs in data.items() for g in gs if _matches(file, Path(p), g)}
        matched |= fits
        inner = Path(*file.parts[1:]).as_posix()
        left_out = any(fnmatch.fnmatch(inner, each) for each in _NOT_SHIPPED)
        if not fits and not left_out:
            faults.append(f"{file.as_posix()}: not in package-data")
        if fits and left_out:
            faults.append(f"{file.as_posix()}: shipped, which it need not be")
    return faults + [
        f"{package}: {pattern} matches no file"
        for package, patterns in sorted(data.items())
        for pattern in patterns
        if (package, pattern) not in matched
    ]


def _matches(file: Path, package: Path, pattern: str) -> bool:
    """As setuptools does: the pattern is of the package's folder, and ** is any depth."""
    if package not in file.parents:
        return False
    pieces = re.split(r"(\*\*/|\*|\?)", pattern)
    signs = {"**/": "(?:.*/)?", "*": "[^/]*", "?": "[^/]"}
    expression = "".join(signs.get(piece, re.escape(piece)) for piece in pieces)
    return re.fullmatch(expression, file.relative_to(package).as_posix()) is not None


def second_registries(root: Path, tables: Collection[str]) -> list[str]:
    """Lists of three or more tables that come out, in code: ``tables`` alone gathers them."""
    faults = []
    for part in PARTS:
        for path in _sources(root / part):
            room = _module(path, root)
            if room == ("analysis", "tables"):
                continue
            for node in ast.walk(_tree(path)):
                names = _listed(node) & set(tables)
                # A room's own entries are its part of the one list.
                if room[-1] in ("outputs", "views") and _declares(node):
                    continue
                if len(names) > 2:
                    shown = ", ".join(sorted(names))
                    where = path.relative_to(root)
                    faults.append(f"{where}:{node.lineno}: a second list of tables ({shown})")
    return faults


def _declares(node: ast.AST) -> bool:
    items = node.elts if isinstance(node, ast.Tuple) else []
    return any(isinstance(each, ast.Call) and _declaring(each) == "Entry" for each in items)


def _declaring(call: ast.Call) -> str:
    """ "Entry" for a call of `Entry`, or of `_entry` that makes one."""
    name = _called(call)
    return "Entry" if name == "_entry" else name


def _listed(node: ast.AST) -> set[str]:
    """The names that a literal, a call's keywords or a split text list one after another."""
    if isinstance(node, ast.Tuple | ast.List | ast.Set):
        return {name for each in node.elts for name in _first(each)}
    if isinstance(node, ast.Dict):
        return {name for key in node.keys if key is not None for name in _first(key)}
    if isinstance(node, ast.Call):
        text = getattr(getattr(node.func, "value", None), "value", None)
        split = text.split() if _called(node) == "split" and isinstance(text, str) else ()
        return {word.strip(",;") for word in split} | {k.arg for k in node.keywords if k.arg}
    return set()


def _first(node: ast.expr) -> set[str]:
    """What an element of a list is called: itself, or the first thing in it."""
    if isinstance(node, ast.Constant):
        return {node.value} if isinstance(node.value, str) else set()
    if isinstance(node, ast.Tuple | ast.List):
        return _first(node.elts[0]) if node.elts else set()
    if isinstance(node, ast.Dict):
        return {name for value in node.values for name in _first(value)}
    return _name_given(node) if isinstance(node, ast.Call) else set()


def _name_given(call: ast.Call) -> set[str]:
    """The text that a call gets as its first argument, or as ``name``."""
    named = [keyword.value for keyword in call.keywords if keyword.arg == "name"]
    return {text for each in [*call.args[:1], *named] for text, _ in _strings(each)}


def _typed_options(tree: ast.AST) -> Iterator[str]:
    """The flags of a command's parameters whose spelling Typer derives from their names."""
    for node in ast.walk(tree):
        if isinstance(node, ast.arg) and node.annotation is not None:
            calls = [each for each in ast.walk(node.annotation) if isinstance(each, ast.Call)]
            options = [call for call in calls if _called(call) == "Option"]
            if any(not any(_FLAG.match(t) for t, _ in _strings(call)) for call in options):
                yield "--" + node.arg.strip("_").replace("_", "-")


def declared_twice(root: Path) -> list[str]:
    """Tables and options that are declared a second time, and flags that two modules spell."""
    homes: dict[str, list[str]] = defaultdict(list)
    for part in PARTS:
        for path in _sources(root / part):
            module, tree = ".".join(_module(path, root)), _tree(path)
            flags = {f for t, _ in _strings(tree) for f in t.split("/") if _FLAG.fullmatch(f)}
            for flag in flags | set(_typed_options(tree)):
                if (flag, module) not in _OTHER_FLAGS:
                    homes[flag].append(module)
            for node in ast.walk(tree):
                if isinstance(node, ast.Call) and _declaring(node) in _DECLARING:
                    given = [n for n in _name_given(node) if (n, module) not in _OTHER_FLAGS]
                    for name in given:
                        homes[f"{_declaring(node)} {name}"].append(module)
    return [
        f"{name}: declared in {' and '.join(sorted(modules))}"
        for name, modules in sorted(homes.items())
        if len(modules) > 1
    ]


def too_long(root: Path) -> list[str]:
    """Pages that are longer than a person reads."""
    faults = []
    for name, most in (("README.md", 250), ("DEVELOPERS.md", 200)):
        lines = len((root / name).read_text("utf-8").splitlines())
        if lines >= most:
            faults.append(f"{name}: {lines} lines, expected under {most}")
    return faults


def skipped_formatting(root: Path) -> list[str]:
    """Where the formatter is told to look away: few places, all of them tables of data."""
    skips = sum(path.read_text("utf-8").count(_SKIP) for path in _sources(root))
    return [f"{skips} lines with {_SKIP}, expected under 60"] if skips >= 60 else []


def broken_links(root: Path) -> list[str]:
    """Relative links of the pages to files that are not there, or to headings that a page lacks."""
    faults = []
    pages = [root / "DEVELOPERS.md", *sorted(root.rglob("README.md"))]
    for page in (p for p in pages if not {".venv", ".git"} & set(p.parts)):
        for target in re.findall(r"\]\(([^)\s]+)\)", page.read_text("utf-8")):
            if "://" in target:
                continue
            name, _, anchor = target.partition("#")
            file = (page.parent / name) if name else page
            if not file.exists():
                faults.append(f"{page.relative_to(root)}: {target}: no such file")
            elif anchor and anchor not in _anchors(file.read_text("utf-8")):
                faults.append(f"{page.relative_to(root)}: {target}: no such heading")
    return faults


def _anchors(text: str) -> set[str]:
    headings = re.findall(r"^#+ (.+)$", text, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", h.lower()).strip().replace(" ", "-") for h in headings}
