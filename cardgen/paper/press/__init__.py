"""The press: marks become pages, pages a PDF. ReportLab ends here; nothing here knows of a card."""
