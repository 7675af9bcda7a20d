"""Documents of words and tables, described once and written as tagged PDF or as DOCX."""
