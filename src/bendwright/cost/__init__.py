"""Cycle and set-up time, price."""
