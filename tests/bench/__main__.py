"""`python -m tests.bench [--small]`: how fast, beside the same rows by hand (floor) and a general-purpose thing (peer).

Every figure is a ratio measured in one run. Nothing here asserts a time. UNDERCAST_DATABASE_URL measures PostgreSQL.
"""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import tempfile


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench")
    parser.add_argument("--small", action="store_true", help="the small collection only, in under two minutes")
    said = parser.parse_args()
    folder = tempfile.mkdtemp(prefix="undercast-bench-")
    os.environ |= {
        "UNDERCAST_DATA": folder,
        "DJANGO_SETTINGS_MODULE": "tests.bench.settings",
        "UNDERCAST_LIMITS": "off",
    }
    try:
        run(["small"] if said.small else ["small", "large"])
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def run(sizes: list[str]) -> None:
    import django

    django.setup()
    from django.db import connection
    from django.test.runner import DiscoverRunner

    from tests.bench.measures import measures
    from tests.bench.table import heads, row

    print(f"database: {connection.vendor}; python {sys.version.split()[0]}")
    print(heads())
    for size in sizes:
        runner = DiscoverRunner(verbosity=0, interactive=False)
        old = runner.setup_databases()
        try:
            for found in measures(size):
                print(row(found), flush=True)
        finally:
            runner.teardown_databases(old)


if __name__ == "__main__":
    main()
