"""The winter planned, the days dated, the year reviewed: the one room that knows all models."""
