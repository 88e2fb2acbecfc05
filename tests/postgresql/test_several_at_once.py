"""Three programs on one notebook: nothing is lost, nothing counts twice, nothing is missed."""

import json
import subprocess
import sys

import pytest

from .conftest import Nursery
from .server import Server, environment, python

pytest.importorskip("psycopg", reason="the extra postgresql is not installed")

_PROGRAM_COUNT = 3
_STOCK_COUNT = 7
_START = f"""
from datetime import date
from graftwright.notebook.entries import StickMeasured, StockGrade, StocksArrived, WoodCut
from graftwright.store.append import write_many
from graftwright.tagcode import code_from_number
day = date(2009, 3, 2)
sticks = tuple(StickMeasured(number=n, length_mm=600, base_mm=9, tip_mm=5, bud_count=12)
               for n in range(1, 9))
write_many([
    WoodCut(happened_on=day, code=code_from_number(1), variety="James Grieve", sticks=sticks),
    StocksArrived(happened_on=day, code=code_from_number(2), arrived_count={_STOCK_COUNT},
                  grade=StockGrade(stock="M26", low_mm=8, high_mm=10))])
"""
# each asks for a code, grafts one tree on the common lot, and looks what it knows of the notebook
_HAMMER = """
import json, sys, time
from graftwright.cli.folder import open_notebook
open_notebook()
from datetime import date
from graftwright.errors import GraftwrightError
from graftwright.notebook.entries import RunGrafted
from graftwright.store.append import write
from graftwright.store.codes import hand_out_block
from graftwright.store.models import WrittenEntry
from graftwright.store.read import read_notebook
from graftwright.tagcode import code_from_number
day, bundle, lot = date(2009, 3, 2), code_from_number(1), code_from_number(2)
trees, refused, codes, missed = [], 0, [], 0
print("ready", flush=True)
sys.stdin.readline()
for _ in range(3):
    given = hand_out_block(3, to_device=f"desk {sys.argv[1]}", today=day)
    codes += given
    for code in (given[-1], code_from_number(9000)):
        try:
            write(RunGrafted(happened_on=day, tree_codes=(code,), bundle_code=bundle, lot_code=lot))
            trees.append(code)
        except GraftwrightError as why:
            refused += 1
    before = set(WrittenEntry.objects.filter(kind="RunGrafted").values_list(
        "body__tree_codes__0", flat=True))
    missed += len(before - read_notebook().trees.keys())
print(json.dumps({"trees": trees, "refused": refused, "codes": codes, "missed": missed}))
sys.stdin.readline()
known = read_notebook()
print(json.dumps([sorted(known.trees), len(known.code_blocks)]))
"""
_AFTER = """
import json
from graftwright.store.checking import findings
from graftwright.store.models import WrittenEntry
from graftwright.store.read import read_notebook
rows = WrittenEntry.objects.filter(kind="RunGrafted").values_list("body", flat=True)
print(json.dumps([[code for body in rows for code in body["tree_codes"]],
    [one.what for one in findings()],
    len(read_notebook().code_blocks)]))
"""


def test_three_programs_use_up_no_stock_and_give_no_code_twice(nursery: Nursery) -> None:
    said = nursery.said
    python(_START, **said)
    programs = [_program(number, said) for number in range(_PROGRAM_COUNT)]
    for one in programs:
        assert _line(one) == "ready"
    told = [json.loads(line) for line in _all_say(programs)]
    knows = [json.loads(line) for line in _all_say(programs)]
    for one in programs:
        assert one.wait(timeout=30) == 0
    trees = [code for one in told for code in one["trees"]]
    codes = [code for one in told for code in one["codes"]]
    assert len(trees) == len(set(trees)) == _STOCK_COUNT  # every stock is used, none twice
    assert sum(one["refused"] for one in told) == _PROGRAM_COUNT * 6 - _STOCK_COUNT
    assert len(codes) == len(set(codes)) == _PROGRAM_COUNT * 9
    assert [one["missed"] for one in told] == [0] * _PROGRAM_COUNT
    written, found, block_count = json.loads(python(_AFTER, **said))
    assert sorted(written) == sorted(trees)
    assert found == []
    # what each program keeps of its last reading has every entry, and none twice
    assert block_count == _PROGRAM_COUNT * 3
    assert knows == [[sorted(trees), block_count]] * _PROGRAM_COUNT


def _program(number: int, said: dict[str, str]) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-c", _HAMMER, str(number)],
        env=environment(**said),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def _all_say(programs: "list[subprocess.Popen[str]]") -> list[str]:
    """Let all go on at once, then hear what each says."""
    for one in programs:
        assert one.stdin is not None
        one.stdin.write("\n")
        one.stdin.flush()
    return [_line(one) for one in programs]


def _line(program: "subprocess.Popen[str]") -> str:
    assert program.stdout is not None
    return program.stdout.readline().strip()


def test_a_number_is_taken_only_in_ones_turn(nursery: Nursery) -> None:
    """A second writer waits before its number is drawn, so numbers stand in order of commit."""
    said = python(_START + _TWO, **nursery.said)
    assert said.splitlines() == ["waits", "first", "second"]


_TWO = """
import threading, time
from datetime import date
from django.db import connection, transaction
from graftwright.notebook.entries import PromiseMade
from graftwright.store.append import write
from graftwright.store.in_turn import in_turn
from graftwright.store.models import WrittenEntry
from graftwright.tagcode import code_from_number
def promise(number, who):
    write(PromiseMade(happened_on=date(2009, 3, 2), code=code_from_number(number), who=who,
                      variety="B", stock="C", wanted_count=2))
other = threading.Thread(target=promise, args=(31, "second"))
with in_turn():
    other.start()
    time.sleep(1)
    print("waits" if other.is_alive() else "went ahead")
    promise(30, "first")
other.join()
for row in WrittenEntry.objects.filter(kind="PromiseMade").order_by("sequence"):
    print(row.body["who"])
"""


def test_who_waits_in_vain_is_told_and_a_connection_cut_by_the_server_is_opened_anew(
    server: Server, nursery: Nursery
) -> None:
    """The other writer, and the administrator who cuts the connection, are real ones."""
    said = python(_HELD, server.address("postgres"), **nursery.said)
    assert said.splitlines() == [
        "busy, 0 entries",
        "1 entries once the other has done",
        "200 then 200",
        "1 entries after the cut",
    ]


_HELD = """
import sys
import psycopg
from datetime import date
from django.core.handlers.wsgi import WSGIHandler
from django.db import connection
from django.test import RequestFactory
from graftwright.errors import NotebookBusy
from graftwright.notebook.entries import PromiseMade
from graftwright.store.append import write
from graftwright.store.in_turn import WAIT
from graftwright.store.models import WrittenEntry
from graftwright.tagcode import code_from_number
def ask():
    answered = {}
    environ = RequestFactory().get("/").environ
    list(WSGIHandler()(environ, lambda status, headers: answered.update(status=status)))
    return answered["status"][:3]
promise = PromiseMade(happened_on=date(2009, 3, 2), code=code_from_number(30), who="Ann",
                      variety="B", stock="C", wanted_count=2)
above = psycopg.connect(sys.argv[1])
with connection.cursor() as cursor:
    cursor.execute("SELECT current_setting('graftwright.nursery')")
    (number,) = cursor.fetchone()
    cursor.execute("SET lock_timeout = '200ms'")
above.execute("SELECT set_config('graftwright.nursery', %s, false)", [number])
above.execute(WAIT)
try:
    write(promise)
except NotebookBusy:
    print("busy,", WrittenEntry.objects.count(), "entries")
above.commit()
write(promise)
print(WrittenEntry.objects.count(), "entries once the other has done")
before = ask()
above.execute("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid()"
              " AND usename = 'notebook_program'")
print(before, "then", ask())
print(WrittenEntry.objects.count(), "entries after the cut")
"""
