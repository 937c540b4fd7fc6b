"""What the templates are given: texts and figures in frozen dataclasses, made of documents and cases."""
