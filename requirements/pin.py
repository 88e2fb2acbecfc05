"""Pin what pyproject.toml asks for, with hashes: run.txt to run Graftwright, all.txt to test it.

The extras go into all.txt only.

Run with `make lock`; uv must be on the path. The files name no package index.
"""

import subprocess
import tomllib
from pathlib import Path

_HERE = Path(__file__).parent


def main() -> None:
    """Write both files anew."""
    project = tomllib.loads((_HERE.parent / "pyproject.toml").read_text(encoding="utf-8"))
    run = project["project"]["dependencies"] + project["dependency-groups"]["build"]
    extras = [one for part in project["project"]["optional-dependencies"].values() for one in part]
    _pin("all.txt", run + extras + project["dependency-groups"]["dev"])
    _pin("run.txt", run, "--constraint", str(_HERE / "all.txt"))


def _pin(name: str, wanted: list[str], *more: str) -> None:
    command = ["uv", "pip", "compile", "--quiet", "--universal", "--python-version", "3.11"]
    command += ["--generate-hashes", "--no-header", "--no-annotate", *more]
    command += ["-o", str(_HERE / name), "-"]
    subprocess.run(command, input="\n".join(wanted), text=True, check=True)


if __name__ == "__main__":
    main()
