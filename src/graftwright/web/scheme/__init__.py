"""Nurseries together: their offers, and the joint plan."""
