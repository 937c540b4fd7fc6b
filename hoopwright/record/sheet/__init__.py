"""The shop sheet on paper: one page, black only."""
