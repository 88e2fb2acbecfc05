"""Watering: litres by place, from pots and weather."""
