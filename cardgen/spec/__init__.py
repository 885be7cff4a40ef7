"""Spec files → checked, typed records in mm and radians; every complaint with its place."""

from cardgen.spec.complaint import Complaint, RecordKey, Source
from cardgen.spec.library import Library
from cardgen.spec.load import load_documents
from cardgen.spec.schema import json_schema

__all__ = ["Complaint", "Library", "RecordKey", "Source", "json_schema", "load_documents"]
