"""Forecasts kept in the notebook when a plan is acted upon."""

from graftwright.notebook.entries import Written
from graftwright.season.forecasts import forecast_of, is_news
from graftwright.season.planned import Plan
from graftwright.store.append import write
from graftwright.store.read import read_notebook


def keep_forecast(plan: Plan) -> Written | None:
    """Write down what the plan foretells; None if it foretells nothing, or nothing new.

    Raises NotebookBusy when the notebook could not be written.
    """
    forecast = forecast_of(plan)
    if forecast is None or not is_news(forecast, read_notebook().forecasts):
        return None
    return write(forecast)
