"""Lets `python3 -m app` start on a machine that has Python and nothing else.

Every `__main__` calls `enter` before it imports anything more. The first start makes `.venv` beside the
checkout and installs what `.requirements.lock` names; every start after it only looks at a stamp and goes on
inside. An environment of one's own that holds the locked packages is used as it is.

Only the standard library is imported here, little of it before it is needed, and the syntax is old enough for
an old Python to get as far as being told that it is too old.
"""

from __future__ import annotations

import contextlib
import os
import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    import queue
    from collections.abc import Iterator, Mapping, Sequence

OLDEST_PYTHON = (3, 11)
ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
LOCK = os.path.join(ROOT, ".requirements.lock")
VENV = os.path.join(ROOT, ".venv")
UNFINISHED = os.path.join(VENV, "cinderlane-unfinished")
PIP_LOG = os.path.join(VENV, "cinderlane-pip.log")

# what each module is started with: parts of the lock file
PARTS = {"app": ("run",), "analysis": ("run",), "tests": ("run", "tests")}
USES_QT = ("app", "tests")

# Debian's names for the libraries that Qt's wheel expects the system to have
QT_LIBRARIES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libxkbcommon.so.0": "libxkbcommon0",
}
X11_LIBRARIES = {
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
WAYLAND_LIBRARIES = {
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
}
SIGNS_OF_NO_NETWORK = (
    "NewConnectionError",
    "NameResolutionError",
    "name resolution",
    "ConnectTimeout",
    "ProxyError",
    "Network is unreachable",
    "Connection refused",
    "Read timed out",
    "ReadTimeoutError",
)
FONT = "a font"
FONT_PACKAGE = "fonts-dejavu-core"


class SetUpError(Exception):
    """The set-up cannot go on; its words say what happened and what to do."""


def enter(module: str, argv: Sequence[str]) -> list[str]:
    """Returns the arguments for `module` once its packages can be imported; `--yes` is taken out of them.

    May not return: the first time in a process it goes on as `python -m module` inside `.venv`. What goes
    wrong is said in a sentence, and the process ends with exit code 1.
    """
    rest = [argument for argument in argv if argument != "--yes"]
    try:
        check_python(sys.version_info[:2])
        python = _prepare(module, may_install=len(rest) < len(argv) or _is_root())
    except SetUpError as error:
        print(error, file=sys.stderr)
        raise SystemExit(1) from None
    except KeyboardInterrupt:
        print("\nStopped. Start again and the set-up is done anew.", file=sys.stderr)
        raise SystemExit(130) from None
    if python is not None:
        _go_on(python, module, rest)
    return rest


def has_display() -> bool:
    """Whether a window can be shown: on Windows and macOS always, elsewhere if the session names a screen."""
    if sys.platform in ("win32", "darwin"):
        return True
    return any(os.environ.get(name) for name in ("QT_QPA_PLATFORM", "DISPLAY", "WAYLAND_DISPLAY"))


def check_python(version: Sequence[int]) -> None:
    """Raises SetUpError for a Python that the packages do not exist for."""
    if tuple(version) < OLDEST_PYTHON:
        wanted, found = (".".join(map(str, numbers)) for numbers in (OLDEST_PYTHON, version))
        raise SetUpError(
            f"Cinderlane needs Python {wanted} or newer; this is {found}. Start it with a newer one."
        )


# ----------------------------------------------------------------------- which environment, and is it ready


def _prepare(module: str, may_install: bool) -> str | None:
    """The Python to go on with, or None to go on in this very process."""
    if not os.path.exists(LOCK):
        return None  # installed as a package: whoever did that saw to the requirements
    parts = read_lock(LOCK)
    wanted = {name: parts[name] for name in PARTS[module]}
    inside = _same_place(sys.prefix, VENV)
    if os.environ.pop("CINDERLANE_ENTERED", "") and not inside:
        raise SetUpError(
            f"The Python in {VENV} does not work from there. Delete that folder and start again."
        )
    python, prefix = venv_python(VENV), VENV
    if inside and not _moved_on() and _is_set_up(wanted):
        python, prefix = sys.executable, sys.prefix
    elif sys.prefix != sys.base_prefix and _holds(wanted):
        python, prefix, inside = sys.executable, sys.prefix, True
    elif not _is_set_up(wanted) or (inside and _moved_on()):
        _set_up(wanted, may_install)
        inside = False  # what this process stands on has changed under it
    if module in USES_QT:
        _see_to_qt(python, prefix, parts["run"], may_install)
    return None if inside else python


def read_lock(path: str) -> dict[str, list[str]]:
    """The requirement lines of each part of a lock file, by the part's name."""
    parts: dict[str, list[str]] = {}
    lines: list[str] = []
    with open(path, encoding="utf-8") as file:
        for raw in file:
            line = raw.strip()
            if line.startswith("# part:"):
                lines = parts.setdefault(line[len("# part:") :].strip(), [])
            elif line and not line.startswith("#"):
                lines.append(line)
    return parts


def venv_python(venv: str) -> str:
    """Where an environment keeps its Python on this system."""
    return os.path.join(venv, *(("Scripts", "python.exe") if os.name == "nt" else ("bin", "python")))


def _is_set_up(wanted: Mapping[str, Sequence[str]]) -> bool:
    if os.path.exists(UNFINISHED) or not os.path.exists(venv_python(VENV)):
        return False
    return all(is_stamped(VENV, part, lines) for part, lines in wanted.items())


def is_stamped(prefix: str, name: str, lines: Sequence[str]) -> bool:
    """Whether `stamp` was called for these very lines."""
    try:
        with open(_stamp_path(prefix, name), encoding="ascii") as file:
            return file.read().strip() == _digest(lines)
    except (OSError, ValueError):
        return False


def stamp(prefix: str, name: str, lines: Sequence[str]) -> None:
    """Notes in an environment that something was done for these lines."""
    path = _stamp_path(prefix, name)
    with open(path + ".new", "w", encoding="ascii") as file:
        file.write(_digest(lines) + "\n")
    os.replace(path + ".new", path)


def _stamp_path(prefix: str, name: str) -> str:
    return os.path.join(prefix, f"cinderlane-{name}.stamp")


def _digest(lines: Sequence[str]) -> str:
    import hashlib

    return hashlib.sha256("\n".join(lines).encode()).hexdigest()


def _moved_on() -> bool:
    """Whether the environment's Python is another version now than when it was made (an upgraded system)."""
    try:
        with open(os.path.join(VENV, "pyvenv.cfg"), encoding="utf-8") as file:
            facts = dict(line.replace(" ", "").strip().split("=", 1) for line in file if "=" in line)
    except OSError:
        return True
    return facts.get("version", "").split(".")[:2] != [str(number) for number in sys.version_info[:2]]


def _same_place(one: str, other: str) -> bool:
    try:
        return os.path.samefile(one, other)
    except OSError:
        return False


def _holds(wanted: Mapping[str, Sequence[str]]) -> bool:
    """Whether this process can import every locked package, in the locked major version."""
    from importlib.metadata import PackageNotFoundError, version

    try:
        for line in (line for lines in wanted.values() for line in lines):
            name, _, locked = line.partition(";")[0].strip().partition("==")
            if version(name).split(".")[0] != locked.split(".")[0]:
                return False
    except PackageNotFoundError:
        return False
    return True


def _go_on(python: str, module: str, argv: Sequence[str]) -> None:
    """Becomes `python -m module`, with the options that this Python itself was started with."""
    started = sys.orig_argv
    options = started[1 : started.index("-m")] if "-m" in started else []
    command = [python, *options, "-m", module, *argv]
    os.environ["CINDERLANE_ENTERED"] = "1"
    sys.stdout.flush()
    if os.name == "nt":
        import subprocess

        raise SystemExit(subprocess.call(command))
    os.execv(python, command)


# ----------------------------------------------------------------------------------- making the environment


def _set_up(wanted: Mapping[str, Sequence[str]], may_install: bool) -> None:
    import time

    begun = time.monotonic()
    with _one_at_a_time():
        inside = _same_place(sys.prefix, VENV)
        if _is_set_up(wanted) and not (inside and _moved_on()):
            return  # another start did it while this one waited
        _clear_the_way(redo=inside and _moved_on())
        new = not os.path.exists(venv_python(VENV))
        if new:
            print("Cinderlane sets itself up in .venv beside this checkout. This is done once.", flush=True)
            _need_venv_module(may_install)
        os.makedirs(VENV, exist_ok=True)
        with open(UNFINISHED, "w", encoding="ascii"):
            pass
        if new:
            _make_venv()
        todo = {part: lines for part, lines in wanted.items() if not is_stamped(VENV, part, lines)}
        _install([line for lines in todo.values() for line in lines])
        for part, lines in todo.items():
            stamp(VENV, part, lines)
        os.remove(UNFINISHED)
    print(f"Set up in {time.monotonic() - begun:.0f} s. From now on it starts at once.", flush=True)


@contextlib.contextmanager
def _one_at_a_time() -> Iterator[None]:
    """Holds a lock that the system lets go of when this process ends, however it ends."""
    try:
        file = open(os.path.join(ROOT, ".venv-busy"), "w", encoding="ascii")  # noqa: SIM115
    except OSError as error:
        raise SetUpError(
            f"Cinderlane puts its packages into {VENV}, but may not write there ({error.strerror}). "
            "Move the checkout to a folder of your own and start again."
        ) from error
    with file:
        if not _try_lock(file.fileno()):
            import time

            print("Another start is setting up; waiting for it.", flush=True)
            while not _try_lock(file.fileno()):
                time.sleep(0.5)
        yield


def _try_lock(descriptor: int) -> bool:
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _clear_the_way(redo: bool) -> None:
    """Removes what an interrupted set-up left, or one whose Python has gone; a stranger's folder stays."""
    import shutil

    names = os.listdir(VENV) if os.path.isdir(VENV) else []
    if names and not any(name.startswith("cinderlane-") for name in names):
        raise SetUpError(
            f"{VENV} is there already, but Cinderlane did not make it. "
            "Rename or delete it and start again; or activate it and install .requirements.lock in it."
        )
    if names and (redo or os.path.exists(UNFINISHED) or not os.path.exists(venv_python(VENV))):
        print("The last set-up did not come to its end, or its Python has gone: doing it anew.", flush=True)
        shutil.rmtree(VENV)


def _need_venv_module(may_install: bool) -> None:
    """Debian keeps the means to make an environment in a package of their own."""
    from importlib import invalidate_caches
    from importlib.util import find_spec

    if find_spec("venv") is not None and find_spec("ensurepip") is not None:
        return
    package = "python{}.{}-venv".format(*sys.version_info[:2])
    what = "This Python lacks the module that makes environments"
    if not os.path.realpath(sys.executable).startswith("/usr/bin/"):
        raise SetUpError(f"{what} (venv with ensurepip). Start Cinderlane with another Python.")
    _see_to_packages(what, [package], may_install)
    invalidate_caches()


def _make_venv() -> None:
    import subprocess

    # started within another environment, the Python that stands behind that one makes ours
    maker: str = getattr(sys, "_base_executable", None) or sys.executable
    done = subprocess.run([maker, "-m", "venv", VENV], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise SetUpError(f"The environment could not be made: {_last_line(done.stdout + done.stderr)}")


def _install(lines: Sequence[str]) -> None:
    """Installs locked lines with pip, which is heard only when it fails."""
    import queue
    import subprocess
    import threading

    command = [venv_python(VENV), "-m", "pip", "install", "--no-deps", "--only-binary", ":all:", "--no-input"]
    command += [
        "--disable-pip-version-check",
        "--no-warn-script-location",
        "--progress-bar=off",
        "--retries=2",
    ]
    command += ["--no-compile"]  # left to the first import: the first window comes ten seconds sooner
    # PIP_USER and PIP_TARGET would put the packages elsewhere
    environment = {key: value for key, value in os.environ.items() if key not in ("PIP_USER", "PIP_TARGET")}
    environment["PYTHONUNBUFFERED"] = "1"
    said: queue.Queue[str | None] = queue.Queue()
    with subprocess.Popen(
        [*command, *lines],
        env=environment,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
    ) as pip:

        def listen() -> None:
            for line in pip.stdout or ():
                said.put(line)
            said.put(None)

        threading.Thread(target=listen, daemon=True).start()
        try:
            heard = _show_progress(said, len(lines))
        except BaseException:
            pip.terminate()
            raise
    with open(PIP_LOG, "w", encoding="utf-8") as log:
        log.writelines(heard)
    if pip.returncode != 0:
        raise SetUpError(why_pip_failed("".join(heard)))


def _show_progress(said: queue.Queue[str | None], total: int) -> list[str]:
    """Tells how far pip is: a line that moves on a terminal, else a line for each package."""
    import queue
    import time

    begun = time.monotonic()
    moving = sys.stdout.isatty()
    heard: list[str] = []
    count, now_at = 0, "asking for the packages"
    line: str | None = ""
    while line is not None:
        with contextlib.suppress(queue.Empty):
            line = said.get(timeout=0.5)
            heard.append(line or "")
            step = pip_step(line or "")
            if step:
                count = min(count + 1, total)
                now_at = f"[{count:2}/{total}] {step}"
            if (line or "").startswith("Installing collected packages"):
                step = now_at = f"unpacking {total} packages"
            if step and not moving:
                print(f"  {now_at}", flush=True)
        if moving:
            print(f"\r  {time.monotonic() - begun:3.0f} s  {now_at:60.60}", end="", flush=True)
    if moving:
        print("\r" + " " * 70, end="\r", flush=True)
    return heard


def pip_step(line: str) -> str:
    """The package that a line of pip's is the first of, as `name version`; empty for any other line."""
    action, _, rest = line.partition(" ")
    if action == "Collecting":
        return rest.split(";")[0].split("(")[0].replace("==", " ").strip()
    if action == "Processing":  # a wheel on this machine's own disk
        return " ".join(os.path.basename(rest.strip()).split("-")[:2])
    return ""


def why_pip_failed(said: str) -> str:
    """A sentence for the person at the keyboard, from what pip said."""
    if "No space left" in said:
        return "The disk is full: Cinderlane's packages need about 1 GB. Make room and start again."
    if any(sign in said for sign in SIGNS_OF_NO_NETWORK):
        return (
            "The packages could not be fetched: this machine seems to have no way to the internet. "
            "Connect it for this one set-up and start again; afterwards Cinderlane needs no network."
        )
    if "No matching distribution found" in said:
        package = said.rsplit("No matching distribution found for ", 1)[-1].split(maxsplit=1)[0]
        return (
            f"There is no ready-made {package} for this system and its Python. "
            "Cinderlane is tried with Python 3.11 to 3.13 on 64-bit machines: start it with one of those."
        )
    return f"Installing the packages failed: {_last_line(said)}\nAll that was said stands in {PIP_LOG}."


def _last_line(said: str) -> str:
    lines = [line.strip() for line in said.splitlines() if line.strip()]
    errors = [line for line in lines if line.lower().startswith("error")]
    return (errors or lines or ["nothing was said"])[-1]


# ----------------------------------------------------------------------------- Qt and the system beneath it

# In a process of its own: a library that Qt finds missing ends the process instead of raising an exception.
PROBE = """
import ctypes, sys
missing = []
for name in sys.argv[1:]:
    try:
        ctypes.CDLL(name)
    except OSError:
        missing.append(name)
print("missing:", *missing, flush=True)
if not missing:
    from PySide6 import QtGui, QtSvg, QtWidgets
    app = QtGui.QGuiApplication(["probe"])
    print("fonts:", len(QtGui.QFontDatabase.families()), flush=True)
"""


def _see_to_qt(python: str, prefix: str, lines: Sequence[str], may_install: bool) -> None:
    """Makes sure, once for each kind of screen, that Qt can open on this machine."""
    platform = os.environ.get("QT_QPA_PLATFORM") or ("screen" if has_display() else "offscreen")
    name = "qt-" + "".join(letter for letter in platform if letter.isalnum())
    if is_stamped(prefix, name, lines):
        return
    libraries = libraries_for(platform, os.environ)
    missing = _probe_qt(python, platform, libraries)
    if missing:
        packages = sorted({libraries.get(name, FONT_PACKAGE if name == FONT else name) for name in missing})
        _see_to_packages(f"Qt, which draws the window, misses {', '.join(missing)}", packages, may_install)
        missing = _probe_qt(python, platform, libraries)
    if missing:
        raise SetUpError(f"Qt still misses {', '.join(missing)}. Install what holds them and start again.")
    with contextlib.suppress(OSError):  # an environment that may not be written to is probed at every start
        stamp(prefix, name, lines)


def libraries_for(platform: str, environment: Mapping[str, str]) -> dict[str, str]:
    """The system libraries that Qt needs to draw on this kind of screen, with Debian's name for each."""
    if not sys.platform.startswith("linux"):
        return {}
    libraries = dict(QT_LIBRARIES)
    if platform == "xcb" or (platform == "screen" and environment.get("DISPLAY")):
        libraries.update(X11_LIBRARIES)
    elif platform in ("wayland", "screen"):
        libraries.update(WAYLAND_LIBRARIES)
    return libraries


def _probe_qt(python: str, platform: str, libraries: Mapping[str, str]) -> list[str]:
    """What Qt lacks on this machine; raises SetUpError where it fails for another reason."""
    import subprocess

    environment = {**os.environ, "PYTHONUTF8": "1"}
    if platform != "screen":
        environment["QT_QPA_PLATFORM"] = platform
    try:
        done = subprocess.run(
            [python, "-c", PROBE, *libraries],
            env=environment,
            capture_output=True,
            encoding="utf-8",
            errors="replace",
            timeout=120,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise SetUpError(
            "Qt did not answer within two minutes. Restart the machine and start again."
        ) from None
    return what_qt_lacks(done.stdout, done.stderr)


def what_qt_lacks(out: str, err: str) -> list[str]:
    """Libraries, or a font, named in the answer of the probe; raises SetUpError for any other failure."""
    import re

    answers = dict(line.split(":", 1) for line in out.splitlines() if ":" in line)
    missing = answers.get("missing", "").split()
    missing += [
        name for name in re.findall(r"(lib[\w.+-]+\.so[.\d]*): cannot open", err) if name not in missing
    ]
    if missing:
        return missing
    if "could not connect to display" in err:
        screen = os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY", "")
        raise SetUpError(
            f"The screen {screen} does not answer. Start Cinderlane from a desktop session; "
            "or, to see it at work without a screen, start it with DISPLAY and WAYLAND_DISPLAY unset."
        )
    if "fonts" not in answers:
        raise SetUpError(f"Qt, which draws the window, does not start here: {_last_line(err)}")
    return [] if int(answers["fonts"]) else [FONT]


# ------------------------------------------------------------------------------------ the system's packages


def _is_root() -> bool:
    return hasattr(os, "geteuid") and os.geteuid() == 0


def _see_to_packages(what: str, packages: Sequence[str], may_install: bool) -> None:
    """Installs Debian packages where that is allowed, else raises SetUpError with the command to type."""
    import shutil
    import subprocess

    if shutil.which("apt-get") is None:
        raise SetUpError(
            f"{what}. Debian calls the packages that hold this {' '.join(packages)}; "
            "install what your system has in their place and start again."
        )
    prefix = [] if _is_root() else ["sudo"]
    by_hand = f"sudo apt-get install {' '.join(packages)}"
    if prefix and shutil.which("sudo") is None:
        raise SetUpError(f"{what}. Ask whoever looks after this machine to install {' '.join(packages)}.")
    if not may_install:
        raise SetUpError(
            f"{what}. Install it with\n    {by_hand}\nor start again with --yes to have that done."
        )
    print(f"{what}: installing {' '.join(packages)}", flush=True)
    # apt-get's own questions are answered with their defaults; sudo may still ask for the password
    apt = [*prefix, "env", "DEBIAN_FRONTEND=noninteractive", "apt-get"]
    for step in (["update"], ["install", "--yes", "--no-install-recommends", *packages]):
        done = subprocess.run([*apt, "-q", *step], stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                              encoding="utf-8", errors="replace", check=False)  # fmt: skip
        if done.returncode != 0 and step[0] == "install":
            said = done.stdout.replace("E: ", "Error: ")
            raise SetUpError(f"{what}, and apt-get could not help: {_last_line(said)}\nTry\n    {by_hand}")
