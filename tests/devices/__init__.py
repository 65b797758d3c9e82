"""Tests of the device models: each assertion of the facts by its id, with the source key beside the value."""
