"""What draws is imported without compiling a grammar, and whoever asks the grammar is answered."""

import subprocess
import sys

import pytest

COMPILED = "rfc3987_syntax.syntax_helpers"


def told(script: str) -> list[str]:
    command = [sys.executable, "-P", "-c", f"import sys\n{script}"]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout.split()


@pytest.mark.parametrize(
    "modules",
    [
        "tarebook.analysis.debrief.page.page, altair",
        "tarebook.notebooks.runner, papermill, nbformat, nbconvert.exporters, nbclient",
        "tarebook.notebooks.cli, jupyter_client.manager",
    ],
)
def test_no_process_of_a_report_compiles_it(modules: str) -> None:
    pytest.importorskip("rfc3987_syntax")
    assert told(f"import {modules}, jsonschema\nprint({COMPILED!r} in sys.modules)") == ["False"]


@pytest.mark.outside(
    "published",
    "RFC 3987, 2.2: the grammar of internationalised addresses",
    "http://résumé.example.org is one, “no iri” is none",
)
def test_a_schema_with_such_an_address_is_checked_all_the_same() -> None:
    pytest.importorskip("rfc3987_syntax")
    asked = told(
        "import tarebook.analysis.display, jsonschema\n"
        "of = jsonschema.Draft202012Validator\n"
        "iri = of({'format': 'iri'}, format_checker=of.FORMAT_CHECKER)\n"
        "print(iri.is_valid('http://r\\u00e9sum\\u00e9.example.org'), iri.is_valid('no iri'))\n"
        f"print({COMPILED!r} in sys.modules)"
    )
    assert asked == ["True", "False", "True"]


def test_the_package_is_whole_for_who_wants_more_of_it() -> None:
    pytest.importorskip("rfc3987_syntax")
    asked = told(
        "import tarebook.analysis.display, rfc3987_syntax as late\n"
        "print(hasattr(late, '__wrapped__'))\n"
        f"print({COMPILED!r} in sys.modules)\n"
        "print(late.is_valid_syntax_iri('http://example.org'), hasattr(late, 'no_such'))\n"
        "print(late.is_valid_syntax is late.syntax_helpers.is_valid_syntax)"
    )
    assert asked == ["False", "False", "True", "False", "True"]


def test_what_was_imported_before_stays() -> None:
    pytest.importorskip("rfc3987_syntax")
    asked = told(
        "import rfc3987_syntax\nbefore = rfc3987_syntax.is_valid_syntax\n"
        "import tarebook.analysis.display\n"
        "print(rfc3987_syntax.is_valid_syntax is before)"
    )
    assert asked == ["True"]
