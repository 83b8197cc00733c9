"""What all tests share: the option that writes down what was said."""

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    """`--accept` rewrites the dialogues."""
    parser.addoption("--accept", action="store_true", help="write what is said today into tests/dialogues")
