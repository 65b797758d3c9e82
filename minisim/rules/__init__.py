"""The rules of `minisim check`: one rule a file, each a function of Wired; an id is never used again."""

from minisim.rules._framework import (
    Result,
    Rule,
    Subject,
    all_rules,
    does_not_apply,
    failed,
    find_rule,
    machinery,
    not_checked,
    passed,
    probe,
    rule,
    same_as,
)

__all__ = [
    "Result",
    "Rule",
    "Subject",
    "all_rules",
    "does_not_apply",
    "failed",
    "find_rule",
    "machinery",
    "not_checked",
    "passed",
    "probe",
    "rule",
    "same_as",
]
