"""The shop sheet: what a turner and a person at the press need, from the results of a case."""
