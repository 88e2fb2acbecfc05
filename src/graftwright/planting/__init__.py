"""planting"""
