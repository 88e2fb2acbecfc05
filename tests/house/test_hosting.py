"""What is said about hosting is there: files parse, commands and settings exist."""

import re
import shlex
import shutil
import subprocess
from configparser import ConfigParser
from pathlib import Path

import pytest
import yaml

from graftwright.cli.main import _parser
from tests.house.tree import ROOT

HOSTING = ROOT / "hosting"
_UNIT = HOSTING / "graftwright.service"
_JUDGE = "systemd-analyze"


class _Unit(ConfigParser):
    """A unit file: keys keep their letters; a repeated key keeps its last value."""

    def optionxform(self, optionstr: str) -> str:
        return optionstr


def _unit() -> ConfigParser:
    unit = _Unit(strict=False, interpolation=None)
    unit.read(_UNIT, encoding="utf-8")
    return unit


def _compose() -> dict[str, dict[str, object]]:
    read = yaml.safe_load((HOSTING / "compose.yaml").read_text(encoding="utf-8"))
    services: dict[str, dict[str, object]] = read["services"]
    return services


def test_the_unit_starts_a_command_that_exists_without_privileges() -> None:
    service = _unit()["Service"]
    program, *words = shlex.split(service["ExecStart"])
    assert Path(program).name == "graftwright"
    assert _parser().parse_args(words).runs.endswith("pages:serve")
    assert service["User"] == "graftwright"
    assert service["NoNewPrivileges"] == "yes"
    assert service["CapabilityBoundingSet"] == ""
    assert service["ProtectSystem"] == "strict"


def test_the_system_s_own_judge_finds_the_unit_sound_and_little_exposed(tmp_path: Path) -> None:
    judge = shutil.which(_JUDGE)
    if judge is None:
        pytest.skip("the system's judge of services is not here")
    unit = tmp_path / _UNIT.name
    text = _UNIT.read_text(encoding="utf-8").replace(
        "/opt/graftwright/bin/graftwright", "/bin/true"
    )
    unit.write_text(text, encoding="utf-8")
    asked = [judge, "security", "--offline=true", "--threshold=25", str(unit)]
    judged = subprocess.run(asked, capture_output=True, text=True, timeout=60, check=False)
    if "nrecognized option" in judged.stderr:
        pytest.skip("this judge cannot take a file")
    assert judged.returncode == 0, judged.stdout[-2000:] + judged.stderr
    verified = subprocess.run(
        [judge, "verify", str(unit)], capture_output=True, text=True, timeout=60, check=False
    )
    assert [one for one in verified.stderr.splitlines() if _UNIT.name in one] == []


def test_the_containers_run_commands_that_exist_and_images_are_pinned() -> None:
    (service,) = _compose().values()
    command = service["command"]
    assert isinstance(command, list)
    assert _parser().parse_args(command).runs.endswith("pages:serve")
    assert re.search(r":\d+\.\d+\.\d+$", str(service["image"]))
    base = re.findall(r"^FROM (\S+)", (HOSTING / "Containerfile").read_text("utf-8"), flags=re.M)
    assert base
    assert all(re.search(r":\d+\.\d+\.\d+", one) for one in base)
    assert service["read_only"] is True
    assert service["cap_drop"] == ["ALL"]


def test_every_file_the_container_takes_along_is_there() -> None:
    text = (HOSTING / "Containerfile").read_text(encoding="utf-8")
    taken = [word for line in re.findall(r"^COPY (.+)$", text, re.M) for word in line.split()[:-1]]
    assert taken
    assert [one for one in taken if not (ROOT / one).exists()] == []


def test_every_setting_named_for_hosting_is_one_the_program_reads() -> None:
    texts = [one.read_text(encoding="utf-8") for one in HOSTING.iterdir() if one.is_file()]
    texts.append((ROOT / "docs/hosting.md").read_text(encoding="utf-8"))
    named = {name for text in texts for name in re.findall(r"\bGRAFTWRIGHT_[A-Z_]+\b", text)}
    said = (ROOT / "docs/commands.md").read_text(
        encoding="utf-8"
    )  # held against the code elsewhere
    assert named
    assert [one for one in named if f"`{one}`" not in said] == []


def test_every_command_shown_for_hosting_is_understood() -> None:
    text = (ROOT / "docs/hosting.md").read_text(encoding="utf-8").replace("\\\n", " ")
    shown = re.findall(r"(?:bin/graftwright|--rm graftwright) ([a-z].+?)(?:`|$)", text, flags=re.M)
    assert len(shown) >= 3
    for words in shown:
        assert _parser().parse_args(shlex.split(words)).runs
