"""The shop's settings for tests: an empty data folder of its own, plain static files, quick disk writes."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

os.environ["NIBSMITH_HOME"] = _home = tempfile.mkdtemp(prefix="nibsmith-tests-")

from nibsmith.shop.config.settings import *  # noqa: F403
from nibsmith.shop.config.settings import DATABASES, STATIC_ROOT, STORAGES

atexit.register(shutil.rmtree, _home, ignore_errors=True)

WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = True
STATIC_ROOT.mkdir(parents=True)
STORAGES["staticfiles"] = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}

if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # A file, so that threads and locks are those of the real thing; lost with the power, which no test cuts.
    DATABASES["default"]["TEST"] = {"NAME": str(Path(_home) / "tests.sqlite3")}
    options = DATABASES["default"]["OPTIONS"]
    options["init_command"] = options["init_command"].replace("synchronous=FULL", "synchronous=OFF")
