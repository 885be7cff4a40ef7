"""A fault of the program itself, told in one line that can be passed on; no planner is shown a trace."""

from types import TracebackType

CODE = "program-fault"
WHAT_TO_DO = "it is no mistake of yours: pass this line on, as the README says under 'When the program fails'"
LONGEST = 120  # letters of what the exception itself says


def fault_text(fault: BaseException) -> str:
    """'program-fault: ZeroDivisionError at cardgen.card.rows:62 (division by zero)'."""
    said = " ".join(str(fault).split())[:LONGEST]
    place = _place(fault.__traceback__)
    return f"{CODE}: {type(fault).__name__} at {place}" + (f" ({said})" if said else "")


def fault_line(fault: BaseException) -> str:
    """The fault, and what to do about it."""
    return f"{fault_text(fault)}; {WHAT_TO_DO}"


def _place(trace: TracebackType | None) -> str:
    """module:line of the innermost of our own functions on the way to it."""
    place = "an unknown place"
    while trace is not None:
        module = str(trace.tb_frame.f_globals.get("__name__", ""))
        if module.split(".")[0] == "cardgen":
            place = f"{module}:{trace.tb_lineno}"
        trace = trace.tb_next
    return place
