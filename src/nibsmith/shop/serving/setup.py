"""Start Django once, with the workshop's settings."""

from __future__ import annotations

import os
from importlib.util import find_spec

import django
from django.apps import apps
from django.core import checks

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.config.database import URL_VARIABLE
from nibsmith.shop.config.home import make_home

SETTINGS = "nibsmith.shop.config.settings"


def set_up() -> None:
    """Load settings and apps; refuse in one line what is set up wrongly."""
    if apps.ready:
        return
    # Not a default: who develops other Django sites may have theirs in the environment.
    os.environ["DJANGO_SETTINGS_MODULE"] = SETTINGS
    _refuse_missing_driver()
    make_home()
    django.setup()


def check_database() -> None:
    """Refuse a database that cannot keep the records safe."""
    for fault in checks.run_checks(tags=[checks.Tags.database], databases=["default"]):
        if fault.is_serious():
            raise NibsmithError(fault.msg.rstrip("."), advice=fault.hint)


def _refuse_missing_driver() -> None:
    """PostgreSQL needs one package more than the file does."""
    if os.environ.get(URL_VARIABLE) and not find_spec("psycopg"):
        raise NibsmithError(
            f"{URL_VARIABLE} is set, but the PostgreSQL driver is not installed",
            advice="Run python3 start.py once with it set: it installs lock/postgres.txt.",
        )
