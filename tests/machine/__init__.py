"""Tests of the running machine."""
