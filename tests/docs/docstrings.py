"""Names in backquotes, in docstrings and comments of SQL, are names of something in the house."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

_PARTS = ("tripdata", "analysis", "notebooks")
_NAMED = re.compile(r"(?<!`)`([A-Za-z_][\w.]+)`(?!`)")
_COMMENT = re.compile(r"--.*")


def dead_names(root: Path) -> list[str]:
    """Names in backquotes that nothing in the house has: of a module that moved, say.

    A name with dots is looked for part by part; one that ends with ``_`` begins others. What
    something is called by is any identifier, file, folder, word of a CSV file or of SQL, and any
    text of code that is one word.
    """
    words = {word for path in _files(root) for word in _words(path, root)}
    words |= {word[: end + 1] for word in words for end, sign in enumerate(word) if sign == "_"}
    return [
        f"{path.relative_to(root)}:{line}: nothing is called {name}"
        for path in _files(root)
        for line, text in _prose(path)
        for name in _NAMED.findall(text)
        if not words.issuperset(name.split("."))
    ]


def _files(root: Path) -> list[Path]:
    files = (p for part in _PARTS for p in sorted((root / part).rglob("*")) if p.is_file())
    return [p for p in files if "__pycache__" not in p.parts]


def _words(path: Path, root: Path) -> Iterator[str]:
    yield from re.findall(r"\w+", path.relative_to(root).as_posix())
    if path.suffix in (".csv", ".sql"):
        yield from re.findall(r"\w+", _COMMENT.sub("", path.read_text("utf-8")))
    elif path.suffix == ".py":
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            for name in ("name", "id", "attr", "arg", "module"):
                value = getattr(node, name, None)
                yield from value.split(".") if isinstance(value, str) else ()
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield from re.findall(r"\A\w+\Z", node.value)


def _prose(path: Path) -> Iterator[tuple[int, str]]:
    if path.suffix == ".sql":
        for line, text in enumerate(path.read_text("utf-8").splitlines(), start=1):
            yield from ((line, comment) for comment in _COMMENT.findall(text))
    elif path.suffix == ".py":
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef):
                text = ast.get_docstring(node, clean=False) or ""
                for line, words in enumerate(text.splitlines(), node.body[0].lineno if text else 0):
                    yield line, words
