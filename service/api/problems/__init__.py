"""Every error of the API as an RFC 9457 problem, from one table of stable codes."""

from service.api.problems.kinds import KINDS, Kind
from service.api.problems.problem import Fault, Problem, in_body, in_header, in_parameter

__all__ = ["KINDS", "Fault", "Kind", "Problem", "in_body", "in_header", "in_parameter"]
