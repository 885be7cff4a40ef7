"""Pure functions of the trade: floats in millimetres and radians in, floats or small frozen values out.

One formula, one function. Nothing here knows of spec files, cards or paper; a shop's own script
could import it by itself.
"""
