"""Jobs that frost and heat make under cover."""

from collections.abc import Iterable
from datetime import date, timedelta

from graftwright.notebook.notebook import Notebook
from graftwright.season.cover_batches import (
    BatchForecast,
    batches_under_cover,
    forecast,
    not_forecast,
)
from graftwright.season.expected_night import ExpectedNight, alarm_costs, expected_night
from graftwright.season.frost_watch import Advice, FrostRisk, frost_tonight
from graftwright.season.heat_watch import HeatRisk, heat_risks
from graftwright.season.job import Job, count_of, job_at
from graftwright.season.place_fit import Ground
from graftwright.tongue import told


def cover_jobs(
    notebook: Notebook,
    *,
    today: date,
    ground: Ground,
    expected: ExpectedNight | None = None,
) -> Iterable[Job]:
    """Yield the warnings of frost tonight and of heat, by batch and stage.

    `expected` is what is known of the coming night, None to take what was written down today;
    without a figure there is no frost warning.
    """
    batches = batches_under_cover(notebook, today=today, reckoned=ground.reckoned)
    if not batches:
        return
    known = expected or expected_night(notebook.nursery, today=today)
    is_asked = known.low_c is not None or known.high_c is not None
    # Without a figure for the night only past heat matters, and that needs no forecast.
    forecasts = [
        forecast(batch, ground=ground) if is_asked else not_forecast(batch) for batch in batches
    ]
    if known.low_c is not None:
        yield from _frost_jobs(forecasts, ground, known.low_c)
    for risk in heat_risks(forecasts, ground=ground, outdoor_high_c=known.high_c):
        if risk.is_due_tomorrow or risk.is_just_now(today):
            yield _heat_job(risk, notebook, today)


def _frost_jobs(forecasts: list[BatchForecast], ground: Ground, low_c: float) -> Iterable[Job]:
    costs = alarm_costs(ground.notebook.nursery)
    for risk in frost_tonight(forecasts, ground=ground, outdoor_low_c=low_c, costs=costs):
        if risk.is_alarm:
            yield _frost_job(risk, ground, low_c)


def _frost_job(risk: FrostRisk, ground: Ground, low_c: float) -> Job:
    batch = risk.batch.batch
    trees = told(
        "{count_of} grafted {grafted_on:%-d %B}, {stage}",
        count_of=count_of(risk.codes, "tree", "trees"),
        grafted_on=batch.grafted_on,
        stage=risk.stage,
    )
    if risk.advice is Advice.BRING_IN:
        what = told(
            "Frost tonight: bring in {trees}, to {shelter_name}",
            trees=trees,
            shelter_name=risk.shelter_name,
        )
    else:
        what = told("Frost tonight: cover {trees}", trees=trees)
    return job_at(
        ground.notebook,
        batch.place_code,
        name="frost tonight",
        what=what,
        codes=risk.codes,
        why=told(
            "{low_c:g} °C expected outdoors, about {place_low_c:.1f} °C here; "
            "alarm from {alarm_from_c:.1f} °C at this stage (flower-bud figures "
            "with a margin by judgement)",
            low_c=low_c,
            place_low_c=risk.place_low_c,
            alarm_from_c=risk.alarm_from_c,
        ),
        last_safe_on=ground.today,
        minutes_each=0.3,
        is_warning=True,
    )


def _heat_job(risk: HeatRisk, notebook: Notebook, today: date) -> Job:
    batch = risk.batch.batch
    if risk.tomorrow_c is not None:
        why = told(
            "about {tomorrow_c:.0f} °C expected here tomorrow, and the unions have not knit",
            tomorrow_c=risk.tomorrow_c,
        )
    else:
        why = told(
            "{hot_hour_count} hours of 32 °C or more before the unions had knit, "
            "up to {hottest_c:.0f} °C; leaves may come and still fail, so judge "
            "these twice",
            hot_hour_count=risk.hot_hour_count,
            hottest_c=risk.hottest_c,
        )
    trees = told(
        "{count_of} grafted {grafted_on:%-d %B}",
        count_of=count_of(batch.codes, "tree", "trees"),
        grafted_on=batch.grafted_on,
    )
    return job_at(
        notebook,
        batch.place_code,
        name="too warm",
        what=told(
            "Too warm: shade and air {trees}; graft nothing more in there until it is cooler",
            trees=trees,
        ),
        codes=batch.codes,
        why=why,
        last_safe_on=today + timedelta(days=1),
        minutes_each=0.1,
        is_warning=True,
    )
