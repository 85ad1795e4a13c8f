"""The first start: which environment, what is missing, what is said. Nothing here touches the network."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from analysis import bootstrap
from tests.__main__ import options

LINES = ["numpy==2.4.6", "librt==0.17.0 ; platform_python_implementation != 'PyPy'"]


@pytest.fixture
def start(tmp_path, monkeypatch):
    """`start("app", *argv)` in a checkout with a lock file alone gives what pip, venv and exec were asked."""
    for name, inside in (("ROOT", ""), ("VENV", ".venv"), ("LOCK", ".requirements.lock")):
        monkeypatch.setattr(bootstrap, name, str(tmp_path / inside))
    monkeypatch.setattr(bootstrap, "UNFINISHED", str(tmp_path / ".venv/cinderlane-unfinished"))
    (tmp_path / ".requirements.lock").write_text(
        "# part: run\nno-such-a==1.0\n\n# part: tests\nno-such-b==2.0\n"
    )
    asked: list[object] = []

    def make():
        python = Path(bootstrap.venv_python(bootstrap.VENV))
        python.parent.mkdir(parents=True)
        python.touch()
        asked.append("venv")

    monkeypatch.setattr(bootstrap, "_make_venv", make)
    monkeypatch.setattr(bootstrap, "_install", asked.extend)
    monkeypatch.setattr(bootstrap, "_see_to_qt", lambda *_: None)
    monkeypatch.setattr(bootstrap, "_go_on", lambda python, module, argv: asked.append([module, *argv]))

    def start(module, *argv):
        asked.clear()
        bootstrap.enter(module, list(argv))
        return list(asked)

    return start


def test_the_first_start_makes_an_environment_and_the_second_goes_straight_on(start, capsys):
    assert start("app", "run.mp4") == ["venv", "no-such-a==1.0", ["app", "run.mp4"]]
    assert "sets itself up" in capsys.readouterr().out
    assert start("app") == [["app"]]
    assert capsys.readouterr().out == ""


def test_the_tests_add_what_they_need_to_the_environment_of_the_app(start):
    start("app")
    assert start("tests") == ["no-such-b==2.0", ["tests"]]
    assert start("tests") == [["tests"]]
    assert start("analysis") == [["analysis"]]


def test_a_changed_lock_is_installed_over_the_environment(start):
    start("app")
    Path(bootstrap.LOCK).write_text("# part: run\nno-such-a==1.1\n")
    assert start("app") == ["no-such-a==1.1", ["app"]]


def test_an_interrupted_set_up_is_done_anew(start, capsys, monkeypatch):
    def interrupted(lines):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(bootstrap, "_install", interrupted)
        with pytest.raises(SystemExit) as ended:
            start("app")
    assert ended.value.code == 130
    assert "Start again" in capsys.readouterr().err
    assert start("app") == ["venv", "no-such-a==1.0", ["app"]]
    assert "did not come to its end" in capsys.readouterr().out


def test_an_environment_whose_python_has_gone_is_made_anew(start):
    start("app")
    Path(bootstrap.venv_python(bootstrap.VENV)).unlink()
    assert start("app") == ["venv", "no-such-a==1.0", ["app"]]


def test_a_folder_that_somebody_else_made_is_left_alone(start, capsys):
    theirs = Path(bootstrap.VENV) / "pyvenv.cfg"
    theirs.parent.mkdir()
    theirs.touch()
    with pytest.raises(SystemExit):
        start("app")
    assert "did not make it" in capsys.readouterr().err
    assert theirs.exists()


def test_an_environment_of_ones_own_is_used_as_it_is(start):
    Path(bootstrap.LOCK).write_text(f"# part: run\npytest=={pytest.__version__}\n")
    assert sys.prefix != sys.base_prefix, "the tests run in an environment"
    assert start("app") == []
    Path(bootstrap.LOCK).write_text("# part: run\npytest==1.0\n")
    assert start("app") == ["venv", "pytest==1.0", ["app"]]


def test_yes_is_not_passed_on(start):
    start("app")
    assert start("app", "--yes", "run.mp4") == [["app", "run.mp4"]]


@pytest.mark.skipif(os.name == "nt", reason="Windows starts a child instead")
def test_the_command_goes_on_in_the_environment_with_the_same_options(monkeypatch):
    became = []
    monkeypatch.setattr(os, "execv", lambda *command: became.append(command))
    monkeypatch.setattr(sys, "orig_argv", ["python3", "-X", "dev", "-m", "app", "-m"])
    monkeypatch.setenv("CINDERLANE_ENTERED", "")
    bootstrap._go_on("/v/bin/python", "app", ["-m"])
    assert became == [("/v/bin/python", ["/v/bin/python", "-X", "dev", "-m", "app", "-m"])]


def test_a_python_that_does_not_land_in_the_environment_is_not_started_for_ever(start, capsys, monkeypatch):
    start("app")
    monkeypatch.setenv("CINDERLANE_ENTERED", "1")
    with pytest.raises(SystemExit):
        start("app")
    assert "Delete that folder" in capsys.readouterr().err


def test_two_starts_at_once_take_turns(start):
    held = "import sys; from analysis import bootstrap as b; b.ROOT = sys.argv[1]\nwith b._one_at_a_time(): "
    held += "print('held', flush=True); sys.stdin.readline()"
    with subprocess.Popen(
        [sys.executable, "-c", held, bootstrap.ROOT],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        with (Path(bootstrap.ROOT) / ".venv-busy").open("w") as file:
            assert not bootstrap._try_lock(file.fileno())
        other.kill()
    with bootstrap._one_at_a_time():
        pass


def test_an_old_python_is_told_so():
    bootstrap.check_python((3, 11))
    with pytest.raises(bootstrap.SetUpError, match=r"needs Python 3\.11 or newer; this is 3\.9"):
        bootstrap.check_python((3, 9))


def test_the_lock_file_is_read_in_its_parts(tmp_path):
    path = tmp_path / "lock"
    path.write_text(f"# words\n# part: run\n{LINES[0]}\n\n# part: tests\n# more words\n{LINES[1]}\n")
    assert bootstrap.read_lock(str(path)) == {"run": LINES[:1], "tests": LINES[1:]}


def test_a_stamp_holds_for_the_same_lines_only(tmp_path):
    prefix = str(tmp_path)
    assert not bootstrap.is_stamped(prefix, "run", LINES)
    bootstrap.stamp(prefix, "run", LINES)
    assert bootstrap.is_stamped(prefix, "run", LINES)
    assert not bootstrap.is_stamped(prefix, "run", LINES[:1])
    assert not bootstrap.is_stamped(prefix, "tests", LINES)


@pytest.mark.parametrize(
    ("line", "step"),
    [
        ("Collecting numpy==2.4.6\n", "numpy 2.4.6"),
        ("Collecting librt==0.17.0; platform_python_implementation != 'PyPy' (from -r x)\n", "librt 0.17.0"),
        ("Processing /wheels/av-18.1.0-cp311-abi3-manylinux_2_28_x86_64.whl\n", "av 18.1.0"),
        ("  Downloading numpy-2.4.6-cp312-cp312-manylinux_2_28_x86_64.whl (16.6 MB)\n", ""),
        ("", ""),
    ],
)
def test_progress_is_read_off_pip(line, step):
    assert bootstrap.pip_step(line) == step


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        (
            "WARNING: Retrying ... NewConnectionError ...\nERROR: No matching distribution found for av==18",
            "internet",
        ),
        ("ERROR: No matching distribution found for av==18.1.0\n", "no ready-made av==18.1.0"),
        ("ERROR: Could not install: [Errno 28] No space left on device\n", "disk is full"),
        ("ERROR: something odd\nnote: more\n", "ERROR: something odd"),
    ],
)
def test_a_failure_of_pip_becomes_a_sentence(said, sentence):
    assert sentence in bootstrap.why_pip_failed(said)


def test_what_qt_lacks_is_read_off_the_probe():
    assert bootstrap.what_qt_lacks("missing:\nfonts: 12\n", "") == []
    assert bootstrap.what_qt_lacks("missing:\nfonts: 0\n", "") == [bootstrap.FONT]
    assert bootstrap.what_qt_lacks("missing: libEGL.so.1 libGL.so.1\n", "") == ["libEGL.so.1", "libGL.so.1"]
    raised = "ImportError: libnss3.so: cannot open shared object file: No such file or directory"
    assert bootstrap.what_qt_lacks("missing:\n", raised) == ["libnss3.so"]


# Qt adds the hint on the library whatever the reason was
NO_SCREEN = """qt.qpa.xcb: could not connect to display :7
qt.qpa.plugin: From 6.5.0, xcb-cursor0 or libxcb-cursor0 is needed to load the Qt xcb platform plugin.
This application failed to start because no Qt platform plugin could be initialized.
"""


def test_a_screen_that_does_not_answer_is_named(monkeypatch):
    monkeypatch.setenv("DISPLAY", ":7")
    with pytest.raises(bootstrap.SetUpError, match="screen :7 does not answer"):
        bootstrap.what_qt_lacks("missing:\n", NO_SCREEN)
    with pytest.raises(bootstrap.SetUpError, match="does not start here: odd"):
        bootstrap.what_qt_lacks("missing:\n", "odd")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux leaves these to its packages")
def test_the_kind_of_screen_decides_which_libraries_are_needed():
    offscreen = bootstrap.libraries_for("offscreen", {})
    assert offscreen["libEGL.so.1"] == "libegl1"
    assert "libxcb-cursor.so.0" not in offscreen
    assert "libxcb-cursor.so.0" in bootstrap.libraries_for("screen", {"DISPLAY": ":0"})
    assert "libwayland-client.so.0" in bootstrap.libraries_for("screen", {"WAYLAND_DISPLAY": "wayland-0"})


@pytest.fixture
def debian(monkeypatch):
    """A Debian on which programs are noted instead of started."""
    ran: list[str] = []

    def run(command, **_):
        ran.append(" ".join(command))
        return subprocess.CompletedProcess(command, 0, stdout="", stderr="")

    monkeypatch.setattr(subprocess, "run", run)
    monkeypatch.setattr("shutil.which", lambda name: f"/usr/bin/{name}")
    return ran


def test_as_root_missing_libraries_are_installed_and_qt_is_asked_again(debian, monkeypatch, tmp_path, capsys):
    monkeypatch.setattr(bootstrap, "_is_root", lambda: True)
    answers = [["libGL.so.1", "libEGL.so.1", bootstrap.FONT], []]
    monkeypatch.setattr(bootstrap, "_probe_qt", lambda *_: answers.pop(0))
    bootstrap._see_to_qt("python", str(tmp_path), LINES, may_install=True)
    update, install = debian
    assert update.endswith("apt-get -q update")
    assert install.endswith("--no-install-recommends fonts-dejavu-core libegl1 libgl1")
    assert "misses libGL.so.1, libEGL.so.1, a font" in capsys.readouterr().out
    bootstrap._see_to_qt("python", str(tmp_path), LINES, may_install=True)  # stamped: not asked a third time


def test_others_are_told_the_command(debian, monkeypatch, tmp_path):
    monkeypatch.setattr(bootstrap, "_is_root", lambda: False)
    monkeypatch.setattr(bootstrap, "_probe_qt", lambda *_: ["libGL.so.1"])
    with pytest.raises(
        bootstrap.SetUpError, match=r"(?s)misses libGL.so.1.*sudo apt-get install libgl1.*--yes"
    ):
        bootstrap._see_to_qt("python", str(tmp_path), LINES, may_install=False)
    assert debian == []
    with pytest.raises(bootstrap.SetUpError, match="still misses"):
        bootstrap._see_to_qt("python", str(tmp_path), LINES, may_install=True)
    assert debian[1].startswith("sudo env DEBIAN_FRONTEND=noninteractive apt-get")


def test_a_system_without_apt_is_told_the_names(debian, monkeypatch):
    monkeypatch.setattr("shutil.which", lambda name: None)
    with pytest.raises(bootstrap.SetUpError, match="Debian calls the packages that hold this libgl1"):
        bootstrap._see_to_packages("Qt misses libGL.so.1", ["libgl1"], may_install=True)


def test_without_sudo_nothing_is_promised(debian, monkeypatch):
    monkeypatch.setattr(bootstrap, "_is_root", lambda: False)
    monkeypatch.setattr("shutil.which", lambda name: None if name == "sudo" else name)
    with pytest.raises(bootstrap.SetUpError, match="Ask whoever looks after this machine to install libgl1"):
        bootstrap._see_to_packages("Qt misses libGL.so.1", ["libgl1"], may_install=True)


def test_a_missing_venv_module_is_named(debian, monkeypatch):
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    monkeypatch.setattr(sys, "executable", "/usr/bin/python3")
    monkeypatch.setattr("os.path.realpath", lambda path: path)
    package = "python{}.{}-venv".format(*sys.version_info)
    with pytest.raises(bootstrap.SetUpError, match=f"sudo apt-get install {package}"):
        bootstrap._need_venv_module(may_install=False)
    bootstrap._need_venv_module(may_install=True)
    assert debian[1].endswith(package)


@pytest.mark.parametrize(
    ("environment", "shown"),
    [
        ({}, False),
        ({"DISPLAY": ":0"}, True),
        ({"WAYLAND_DISPLAY": "w"}, True),
        ({"QT_QPA_PLATFORM": "x"}, True),
    ],
)
def test_a_display_is_known_by_the_environment(environment, shown, monkeypatch):
    monkeypatch.setattr(sys, "platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    assert bootstrap.has_display() is shown


def test_pytest_runs_on_every_processor_unless_told_otherwise():
    assert options(["-k", "speed"], 2) == ["-n", "2", "--dist", "worksteal", "-k", "speed"]
    assert options(["-n0"], 2) == ["-n0"]
    assert options(["--pdb"], 2) == ["--pdb"]
