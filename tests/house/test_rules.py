"""The rules of the house, each kept by a tool: who imports whom, lint, types, and what may be tracked."""

import ast
import re
import subprocess
import sys
import tomllib

import platformdirs
import pytest

from tests.helpers.programs import need

PURE_ROOMS = {"values", "ground", "steps", "speed", "body", "reading", "plan"}
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "app",
    "analysis",
    "tests",
    "sample_clips",
    "docs",
}
PACKAGES = ("app", "analysis", "tests", "sample_clips")


@pytest.fixture(scope="session")
def tracked(root):
    """Every file under version control, by its path from the top of the checkout."""
    if not (root / ".git").exists():
        pytest.skip("this copy is not a checkout")
    listed = subprocess.run(
        [need("git"), "ls-files", "-z"], cwd=root, capture_output=True, text=True, check=True
    )
    return [name for name in listed.stdout.split("\0") if name and (root / name).exists()]


def passed(done):
    """An assertion that shows the tool's own words."""
    return done.returncode == 0 or pytest.fail(done.stdout + done.stderr, pytrace=False)


def test_rooms_import_in_one_direction(run_python):
    code = "from importlinter.cli import lint_imports_command as run; run(['--no-cache'])"
    assert passed(run_python("-c", code))


def test_every_room_stands_in_the_contracts(root):
    """A room that no contract names would be free to import anything."""
    contracts = tomllib.loads((root / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
    numbers = next(c for c in contracts if c["name"].startswith("numbers come from values"))
    rooms = {folder.parent.name for folder in (root / "analysis").glob("*/__init__.py")}
    pure = {f"analysis.{room}" for room in rooms & PURE_ROOMS}
    outer = {f"analysis.{room}" for room in rooms - PURE_ROOMS}
    assert pure == set(numbers["source_modules"]), "add the room to source_modules in pyproject.toml"
    assert outer <= set(numbers["forbidden_modules"]), "add the room to forbidden_modules in pyproject.toml"


def test_ruff_finds_nothing(run_python):
    assert passed(run_python("-m", "ruff", "check", "--no-cache", "--output-format", "concise", "."))


def test_files_are_formatted(run_python):
    assert passed(run_python("-m", "ruff", "format", "--no-cache", "--check", "."))


def test_types_fit(run_python):
    # what mypy keeps from run to run, it checks by what is in the files
    cache = platformdirs.user_cache_path("cinderlane-tests") / "mypy"
    assert passed(run_python("-m", "mypy", "--cache-dir", str(cache)))


def test_analysis_loads_no_qt():
    """Every module of analysis, in a fresh process, leaves Qt unloaded."""
    code = (
        "import importlib, pkgutil, sys, analysis\n"
        "for module in pkgutil.walk_packages(analysis.__path__, 'analysis.'):\n"
        "    if not module.name.endswith('__main__'): importlib.import_module(module.name)\n"
        "qt = [name for name in sys.modules if name.split('.')[0] in\n"
        "      ('PySide6', 'shiboken6', 'PyQt6', 'PyQt5', 'pyqtgraph', 'app')]\n"
        "print(len(sys.modules)); sys.exit(f'loaded: {qt}' if qt else 0)"
    )
    assert passed(subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False))


@pytest.mark.parametrize("package", ["app", "analysis", "tests"])
def test_a_package_and_the_bootstrap_load_the_standard_library_alone(package, run_python):
    code = (
        f"import sys; before = set(sys.modules); import {package}, analysis.bootstrap\n"
        "names = {name.split('.')[0] for name in set(sys.modules) - before}\n"
        f"other = names - set(sys.stdlib_module_names) - {{'{package}', 'analysis'}}\n"
        "sys.exit(f'loaded: {sorted(other)}' if other else 0)"
    )
    assert passed(run_python("-S", "-c", code))


def test_the_window_starts_without_what_writes_pages_and_hears_sound(run_python):
    code = (
        "import sys, app.main_window\n"
        "late = {'fpdf', 'jinja2', 'matplotlib', 'openpyxl', 'sounddevice'} & set(sys.modules)\n"
        "sys.exit(f'loaded: {sorted(late)}' if late else 0)"
    )
    assert passed(run_python("-c", code))


def lambdas_connected(source):
    """Lines on which a signal is connected to a lambda."""
    for node in ast.walk(ast.parse(source)):
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr == "connect"
        ) and any(isinstance(argument, ast.Lambda) for argument in node.args):
            yield node.lineno


def test_no_signal_is_connected_to_a_lambda(root):
    """Such a lambda keeps its window alive for ever, and runs on whichever thread the signal came from."""
    assert list(lambdas_connected("a.b.connect(lambda: self.x())")) == [1]
    found = [
        f"{path.relative_to(root)}:{line}"
        for path in sorted((root / "app").rglob("*.py"))
        for line in lambdas_connected(path.read_text(encoding="utf-8"))
    ]
    assert not found


def test_the_top_level_holds_what_was_agreed(tracked):
    names = {name.split("/")[0] for name in tracked}
    assert {name for name in names if not name.startswith(".")} <= TOP_LEVEL


def test_no_tracked_file_names_a_machine(tracked, root):
    """Neither a folder of somebody's machine nor the host of a package registry."""
    machine = re.compile(
        r"/(work|farm|root|home)/\w|[A-Z]:\\\\Users\\\\|pypi\.org|files\.pythonhosted|deb\.debian"
    )
    texts = [
        name for name in tracked if name.endswith((".py", ".md", ".toml", ".lock", ".json", ".csv", "/run"))
    ]
    own = "tests/house/test_rules.py"
    assert len(texts) > 20
    found = [
        f"{name}:{number}: {line.strip()[:90]}"
        for name in texts
        if name != own
        for number, line in enumerate((root / name).read_text(encoding="utf-8").splitlines(), 1)
        if machine.search(line)
    ]
    assert not found


def test_no_tracked_file_is_large(tracked, root):
    large = [name for name in tracked if (root / name).stat().st_size > 6_000_000]
    assert not large
