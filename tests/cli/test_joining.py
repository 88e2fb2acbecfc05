"""Several offers planned together by the command, and a bad one refused."""

import json

from graftwright.demo import demo_neighbours
from graftwright.exchange import offer_bytes


def test_offers_are_planned_printed_and_written_as_papers_without_a_notebook(terminal):
    for number, offer in enumerate(demo_neighbours()):
        (terminal.home / f"{number}.json").write_bytes(offer_bytes(offer))
    words = terminal("joint", "0.json", "1.json", "--day", "2009-02-17", "--papers", "together")
    assert "To post" in words
    assert "no plan is better" in words
    assert "plant health authority" in " ".join(words.split())
    written = sorted(path.name for path in (terminal.home / "together").iterdir())
    assert written[-1] == "parcel-slips.pdf"
    assert len(written) == len(demo_neighbours()) + 1
    assert not (terminal.home / "graftwright-notebook").exists()


def test_a_bad_offer_is_refused_with_its_file_and_place(terminal):
    bad = json.loads(offer_bytes(demo_neighbours()[0]))
    bad["stocks"][1]["stocks_count"] = "many"
    (terminal.home / "bad.json").write_text(json.dumps(bad), encoding="utf-8")
    refused = terminal("joint", "bad.json", code=2)
    assert "bad.json: stocks 2: stocks_count: found 'many'; expected a whole number" in refused
