"""Every address of the program."""

from django.urls import URLPattern, URLResolver, path
from django.views.generic import RedirectView

from graftwright.web.api.addresses import ADDRESSES as PROGRAM_ADDRESSES
from graftwright.web.api.merging import ADDRESSES as MERGE_ADDRESSES
from graftwright.web.autumn.views import autumn_page, hand_over_promise, set_aside
from graftwright.web.bench.results import results_page, write_results
from graftwright.web.bench.sheet import sheet_page
from graftwright.web.bench.views import bench_page, close_day, count_labels, count_part, undo_run
from graftwright.web.clashes.views import clashes_page, settle_clash
from graftwright.web.cover.views import ask_weather, cover_page, write_day, write_night
from graftwright.web.exchange.views import (
    exchange_file,
    exchange_page,
    make_calendar_address,
    make_program_token,
    passport_file,
    plot_gpx,
    revoke,
    take_back_in,
)
from graftwright.web.feed.views import calendar_feed
from graftwright.web.first_day import begin
from graftwright.web.language import choose_language
from graftwright.web.lessons.causes_view import causes_page
from graftwright.web.lessons.compare_view import compare_page
from graftwright.web.lessons.forecasts_view import forecasts_page, keep_forecasts
from graftwright.web.lessons.views import choose_reader, lessons_page, show_rates
from graftwright.web.mothers.names_views import names_page, write_names
from graftwright.web.mothers.views import (
    mother_page,
    mothers_page,
    place_nursery,
    rename_mother,
    write_mother,
)
from graftwright.web.paper_room.label_views import check_scale, forget_sheet, labels_page
from graftwright.web.paper_room.views import paper_file, paper_page, workshop_file
from graftwright.web.people.addresses import ADDRESSES as PEOPLE_ADDRESSES
from graftwright.web.plan.views import plan_page
from graftwright.web.plan.years import years_page
from graftwright.web.planting.views import (
    card_file,
    keep_spot,
    planting_page,
    plot_geojson,
    plot_page,
    plot_pdf,
)
from graftwright.web.practice.views import practice_page, set_practice
from graftwright.web.promises.views import (
    make_promise,
    promise_page,
    promises_page,
    settle_promise,
    withdraw_promise,
)
from graftwright.web.scheme.views import (
    bring_offer,
    make_own_offer,
    offer_file,
    remove_offer,
    scheme_page,
    scheme_paper,
)
from graftwright.web.second.views import bud_stocks, carry_over, second_chance_page
from graftwright.web.spreadsheet.views import (
    answer,
    drop,
    enter_rows,
    read_in,
    read_in_temperatures,
    reading_page,
    spreadsheet_page,
    template_file,
)
from graftwright.web.sync.entries import bring_entries
from graftwright.web.sync.hello import hello
from graftwright.web.sync.photo_form import add_photo
from graftwright.web.sync.views import (
    bench_run_page,
    codes_for_phone,
    page_data,
    photo_file,
    this_phone,
    worker_script,
)
from graftwright.web.today.arranging import arrange_page, bring_back, expect_wind, give, put_off
from graftwright.web.today.views import take_back, tick, today_page
from graftwright.web.trace.views import trace_file, trace_of_page, trace_page
from graftwright.web.trees.views import (
    code_page,
    correct_entry,
    go_to_code,
    revive,
    trees_page,
    withdraw_entry,
    write_deed,
)
from graftwright.web.units import choose_unit
from graftwright.web.walk.views import apply_walk, walk_end_page, walk_page, walk_place_page
from graftwright.web.water.views import water_page, write_rain
from graftwright.web.wood.photo_views import (
    marker_sheet_file,
    photo_page,
    read_photo,
    write_photo,
)
from graftwright.web.wood.views import gauge_card_file, join_sheet_file, wood_page
from graftwright.web.working.views import ask_work_again, cancel_work, work_progress
from graftwright.web.workshop.views import workshop_page

urlpatterns: list[URLPattern | URLResolver] = [
    path("", today_page, name="today"),
    path("today/tick", tick, name="tick"),
    path("today/arrange", arrange_page, name="arrange"),
    path("today/put-off", put_off, name="put-off"),
    path("today/bring-back", bring_back, name="bring-back"),
    path("today/give", give, name="give-job"),
    path("today/wind", expect_wind, name="expect-wind"),
    path("today/<uuid:entry_id>/take-back", take_back, name="take-back"),
    path("trees/", trees_page, name="trees"),
    path("trees/<str:code>/", code_page, name="code"),
    path("trees/<str:code>/write/<str:deed>", write_deed, name="write-deed"),
    path("trees/<str:code>/lives", revive, name="revive"),
    path("trees/<str:code>/<uuid:entry_id>/correct", correct_entry, name="correct-entry"),
    path("trees/<str:code>/<uuid:entry_id>/withdraw", withdraw_entry, name="withdraw-entry"),
    path("code/", go_to_code, name="go-to-code"),
    path("code/<str:code>", RedirectView.as_view(pattern_name="code"), name="scanned-code"),
    path("bench/", bench_page, name="bench"),
    path("bench/run", bench_run_page, name="bench-run"),
    path("bench/count", count_part, name="bench-count"),
    path("bench/labels", count_labels, name="count-labels"),
    path("bench/close", close_day, name="close-day"),
    path("bench/sheet", sheet_page, name="run-sheet"),
    path("bench/<uuid:entry_id>/undo", undo_run, name="undo-run"),
    path("results/", results_page, name="results"),
    path("results/<str:what>", write_results, name="write-results"),
    path("workshop/", workshop_page, name="workshop"),
    path("lessons/", lessons_page, name="lessons"),
    path("lessons/reader", choose_reader, name="choose-reader"),
    path("lessons/show", show_rates, name="show-rates"),
    path("lessons/causes/", causes_page, name="lessons-causes"),
    path("lessons/compare/", compare_page, name="lessons-compare"),
    path("lessons/forecasts/", forecasts_page, name="lessons-forecasts"),
    path("lessons/forecasts/keep", keep_forecasts, name="keep-forecasts"),
    path("clashes/", clashes_page, name="clashes"),
    path("clashes/<str:clash_id>/settle", settle_clash, name="settle-clash"),
    path("promises/", promises_page, name="promises"),
    path("promises/make", make_promise, name="make-promise"),
    path("promises/<str:code>/", promise_page, name="promise"),
    path("promises/<str:code>/withdraw", withdraw_promise, name="withdraw-promise"),
    path("promises/<str:code>/settle", settle_promise, name="settle-promise"),
    path("plan/", plan_page, name="plan"),
    path("plan/years/", years_page, name="years"),
    path("long-work/<uuid:work_id>/progress", work_progress, name="work-progress"),
    path("long-work/<uuid:work_id>/cancel", cancel_work, name="cancel-work"),
    path("long-work/<uuid:work_id>/again", ask_work_again, name="ask-work-again"),
    path("scheme/", scheme_page, name="scheme"),
    path("scheme/bring", bring_offer, name="bring-offer"),
    path("scheme/own", make_own_offer, name="make-own-offer"),
    path("scheme/<str:name>.json", offer_file, name="offer-file"),
    path("scheme/<str:name>/remove", remove_offer, name="remove-offer"),
    path("scheme/paper/<str:file_name>", scheme_paper, name="scheme-paper"),
    path("wood/", wood_page, name="wood"),
    path("wood/gauge-card.pdf", gauge_card_file, name="gauge-card"),
    path("wood/joins.pdf", join_sheet_file, name="join-sheet"),
    path("wood/photo/", photo_page, name="photo"),
    path("wood/photo/read", read_photo, name="read-photo"),
    path("wood/photo/write", write_photo, name="write-photo"),
    path("wood/photo/sheet/<str:paper>.pdf", marker_sheet_file, name="marker-sheet"),
    path("cover/", cover_page, name="cover"),
    path("cover/day", write_day, name="cover-day"),
    path("cover/night", write_night, name="cover-night"),
    path("cover/weather", ask_weather, name="cover-weather"),
    path("paper/", paper_page, name="paper"),
    path("paper/labels", labels_page, name="labels"),
    path("paper/labels/scale", check_scale, name="label-scale"),
    path("paper/labels/forget", forget_sheet, name="forget-sheet"),
    path("paper/workshop", workshop_file, name="workshop-pack"),
    path("paper/<str:file_name>", paper_file, name="paper-file"),
    path("exchange/", exchange_page, name="exchange"),
    path("exchange/back", take_back_in, name="take-back-in"),
    path("exchange/passport.csv", passport_file, name="passport"),
    path("exchange/token", make_program_token, name="make-token"),
    path("exchange/calendar", make_calendar_address, name="make-calendar-address"),
    path("exchange/<uuid:token_id>/revoke", revoke, name="revoke-token"),
    path("exchange/<str:file_name>", exchange_file, name="exchange-file"),
    path("feed/<str:secret>/calendar.ics", calendar_feed, name="calendar-feed"),
    *PROGRAM_ADDRESSES,
    *MERGE_ADDRESSES,
    *PEOPLE_ADDRESSES,
    path("spreadsheet/", spreadsheet_page, name="spreadsheet"),
    path("spreadsheet/template", template_file, name="spreadsheet-template"),
    path("spreadsheet/read", read_in, name="read-in"),
    path("spreadsheet/temperatures", read_in_temperatures, name="read-in-temperatures"),
    path("spreadsheet/<uuid:reading_id>/", reading_page, name="reading"),
    path("spreadsheet/<uuid:reading_id>/answer", answer, name="answer"),
    path("spreadsheet/<uuid:reading_id>/enter", enter_rows, name="enter-rows"),
    path("spreadsheet/<uuid:reading_id>/drop", drop, name="drop-reading"),
    path("planting/", planting_page, name="planting"),
    path("planting/keep", keep_spot, name="keep-spot"),
    path("planting/plot/", plot_page, name="plot"),
    path("planting/plot/plan.pdf", plot_pdf, name="plot-pdf"),
    path("planting/plot/plan.geojson", plot_geojson, name="plot-geojson"),
    path("planting/plot/plan.gpx", plot_gpx, name="plot-gpx"),
    path("card/<str:code>.pdf", card_file, name="card"),
    path("mothers/", mothers_page, name="mothers"),
    path("mothers/nursery", place_nursery, name="place-nursery"),
    path("mothers/names/", names_page, name="names"),
    path("mothers/names/<str:what>", write_names, name="write-names"),
    path("mothers/<str:code>/", mother_page, name="mother"),
    path("mothers/<str:code>/rename", rename_mother, name="rename-mother"),
    path("mothers/<str:code>/write/<str:deed>", write_mother, name="write-mother"),
    path("walk/", walk_page, name="walk"),
    path("walk/<str:code>/", walk_place_page, name="walk-place"),
    path("walk/<str:code>/end", walk_end_page, name="walk-end"),
    path("walk/<str:code>/agree", apply_walk, name="apply-walk"),
    path("water/", water_page, name="water"),
    path("water/rain", write_rain, name="write-rain"),
    path("second-chance/", second_chance_page, name="second-chance"),
    path("second-chance/bud", bud_stocks, name="bud-stocks"),
    path("second-chance/keep", carry_over, name="carry-over"),
    path("autumn/", autumn_page, name="autumn"),
    path("autumn/set-aside", set_aside, name="set-aside"),
    path("autumn/<str:code>/hand-over", hand_over_promise, name="hand-over-promise"),
    path("trace/", trace_page, name="trace"),
    path("trace/<str:code>.csv", trace_file, name="trace-file"),
    path("trace/<str:code>/", trace_of_page, name="trace-of"),
    path("practice/", practice_page, name="practice"),
    path("practice/set", set_practice, name="set-practice"),
    path("worker.js", worker_script, name="worker-script"),
    path("sync/", this_phone, name="this-phone"),
    path("sync/hello", hello, name="hello"),
    path("sync/page-data", page_data, name="page-data"),
    path("sync/codes", codes_for_phone, name="codes-for-phone"),
    path("sync/entries", bring_entries, name="bring-entries"),
    path("sync/photo", add_photo, name="add-photo"),
    path("photos/<str:name>", photo_file, name="photo-file"),
    path("begin", begin, name="begin"),
    path("unit", choose_unit, name="choose-unit"),
    path("language", choose_language, name="choose-language"),
]
