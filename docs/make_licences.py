"""Write licences.md: every package that Graftwright stands on, with its licence.

Run after `make lock`: `.venv/bin/python docs/make_licences.py`. Packages and versions are those
pinned in requirements/; licences are what each installed package says of itself.
"""

import re
import sys
import tomllib
from importlib.metadata import PackageNotFoundError, metadata
from pathlib import Path

ROOT = Path(__file__).parent.parent
PAGE = ROOT / "docs" / "licences.md"
_PINNED = re.compile(r"^(?P<name>[a-z0-9._-]+)==(?P<version>\S+)(?: ; (?P<where>[^\\]+))?", re.M)
_SHORT = 60
_HEAD = """# What Graftwright stands on

Made by `python docs/make_licences.py` from `requirements/` and from what each package says of
itself; a test compares. Nothing of these is copied into the project: they are installed beside it,
each under its own licence. Graftwright itself is under the [MIT licence](../LICENSE); its data keep
[their own terms](data.md). This list is no legal advice.
"""


def pinned(name: str) -> dict[tuple[str, str], str]:
    """Return each package and version of a file in requirements/, and where it is wanted."""
    text = (ROOT / "requirements" / name).read_text(encoding="utf-8")
    return {
        (one["name"], one["version"]): (one["where"] or "").strip()
        for one in _PINNED.finditer(text)
    }


def licence_of(package: str) -> str:
    """Return the licence a package states; empty where it is not installed or states none."""
    try:
        said = metadata(package)
    except PackageNotFoundError:
        return ""
    expression = said.get("License-Expression") or ""
    classes = [
        line.rsplit("::", 1)[-1].strip()
        for line in said.get_all("Classifier") or []
        if line.startswith("License ::") and not line.endswith("OSI Approved")
    ]
    spoken = (said.get("License") or "").strip().split("\n")[0]
    return expression or ", ".join(classes) or spoken[:_SHORT]


def page(known: dict[str, str]) -> str:
    """Return the page; `known` holds licences by package and version where none is installed."""
    run, everything = pinned("run.txt"), pinned("all.txt")
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = {_name(one) for one in project["dependencies"]}
    extras = {
        _name(one): extra
        for extra, parts in project["optional-dependencies"].items()
        for one in parts
    }
    beyond = {one: where for one, where in everything.items() if one not in run}
    named = {one: where for one, where in beyond.items() if one[0] in extras}
    rest = {one: where for one, where in beyond.items() if one[0] not in extras}
    parts = [
        _HEAD,
        _table("To run it", run, dict.fromkeys(wanted, "wanted by itself"), known),
        _table("For its extras", named, {n: f"extra `{e}`" for n, e in extras.items()}, known),
        _table("Brought along by the extras, or to test and build it", rest, {}, known),
    ]
    return "\n".join(parts)


def licences_in(text: str) -> dict[str, str]:
    """Return what a page states, by package and version."""
    rows = re.findall(r"^\| ([a-z0-9._-]+) \| (\S+) \| ([^|]*) \|", text, flags=re.M)
    return {f"{name} {version}": licence.strip() for name, version, licence in rows}


def _table(
    title: str, packages: dict[tuple[str, str], str], why: dict[str, str], known: dict[str, str]
) -> str:
    lines = [f"## {title}", "", "| package | version | licence | remarks |", "|---|---|---|---|"]
    for (name, version), where in sorted(packages.items()):
        licence = licence_of(name) or known.get(f"{name} {version}", "")
        stated = licence or "not stated where this was made"
        remark = "; ".join(one for one in (why.get(name, ""), f"`{where}`" if where else "") if one)
        lines.append(f"| {name} | {version} | {stated.replace('|', '/')} | {remark} |")
    return "\n".join([*lines, ""])


def _name(requirement: str) -> str:
    return re.split(r"[\[<>=~! ]", requirement)[0].lower()


def main() -> int:
    """Write the page anew."""
    known = licences_in(PAGE.read_text(encoding="utf-8")) if PAGE.exists() else {}
    PAGE.write_text(page(known), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
