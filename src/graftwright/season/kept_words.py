"""Words that are kept and compared in English and said where they are shown.

Names of jobs stand in entries, kinds of things in what stands, names of tables in file names; a
page says them with the filter `said`.
"""

from graftwright.tongue import marked

KEPT_WORDS = (
    *(marked("tree"), marked("bundle"), marked("lot"), marked("place"), marked("mother tree")),
    *(marked("promise"), marked("spot"), marked("stock lot"), marked("lot of stocks")),
    *(marked("yes"), marked("no"), marked("use waking wood"), marked("graft moving stocks")),
    *(marked("close bench day"), marked("throw out old wood"), marked("order stocks")),
    *(marked("check bundles"), marked("measure stocks"), marked("ask the supplier")),
    *(marked("bench day"), marked("cut wood"), marked("settle a doubt"), marked("water")),
    *(marked("renew mother trees"), marked("cut for a rescue"), marked("out of its limits")),
    *(marked("loosen binding"), marked("look at binding"), marked("look at waiting grafts")),
    *(marked("frost tonight"), marked("too warm"), marked("cane"), marked("bud")),
    *(marked("grade"), marked("walk past"), marked("Promises"), marked("Stocks")),
    *(marked("Pieces"), marked("Grafts"), marked("Runs"), marked("Bench days")),
    *(marked("Batches"), marked("Materials"), marked("Costs"), marked("Shortages")),
)
"""Each a message of its own."""
