"""Style sheets and scripts, collected once for each state of the program."""

from __future__ import annotations

import hashlib
from importlib.metadata import version
from pathlib import Path

import nibsmith

# Written last, so that a folder without it is known to be unfinished.
DONE = ".complete"
FOLDERS_KEPT = 2


def state_of_files() -> str:
    """Name the present state of all files that the browser gets; another state, another name."""
    package = Path(nibsmith.__file__).parent
    digest = hashlib.sha256(version("django-htmx").encode())
    for file in sorted((package / "shop").glob("*/static/**/*")):
        if file.is_file():
            facts = file.stat()
            digest.update(f"{file.relative_to(package)} {facts.st_size} {facts.st_mtime_ns}\n".encode())
    return f"{nibsmith.__version__}-{digest.hexdigest()[:12]}"


def collect(folder: Path) -> bool:
    """Bring the files together in ``folder`` unless they are there; say whether it was done."""
    if (folder / DONE).exists():
        return False
    from django.core.management import call_command

    folder.mkdir(parents=True, exist_ok=True)
    call_command("collectstatic", interactive=False, verbosity=0)
    (folder / DONE).touch()
    _forget_old_states(folder.parent)
    return True


def _forget_old_states(parent: Path) -> None:
    """Remove all but the newest states; the one before may belong to a server still running."""
    import shutil

    states = sorted(
        (entry for entry in parent.iterdir() if entry.is_dir()), key=lambda entry: entry.stat().st_mtime
    )
    for state in states[:-FOLDERS_KEPT]:
        shutil.rmtree(state, ignore_errors=True)
