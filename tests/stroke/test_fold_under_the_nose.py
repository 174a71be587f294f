"""The regime of large noses is recognised and said."""

import json

import pytest

from bendwright.cli.app import run


def checks(capsys, *typed):
    """Checks by name of one stroke in the demo shop."""
    assert run(["bend", "--shop", "saltmarsh", "--material", "DC01", *typed, "--json"]) == 0
    (bend,) = json.loads(capsys.readouterr().out)["bends"]
    return {check["name"]: check for check in bend["checks"]}


@pytest.mark.origin(
    "printed", "finite-element bends: a nose of 2 t in V 8 t touches at two places long before 90 degrees"
)
def test_a_nose_of_two_thicknesses_lifts(capsys):
    """Nose 6 under t 3 in V 25: watched, and how far from the middle it touches."""
    fold = checks(capsys, "--thickness", "3mm", "--die", "V25", "--punch", "P4")["fold under the nose"]
    assert fold["verdict"] == "watch"
    assert fold["value"] > 3.0


@pytest.mark.origin(
    "printed", "finite-element bends: a nose of half the thickness touches in the middle down to 90 degrees"
)
def test_a_usual_nose_does_not(capsys):
    """Nose 0.8 under t 2 in V 16: nothing to say."""
    assert "fold under the nose" not in checks(capsys, "--thickness", "2mm", "--die", "V16", "--punch", "P1")
