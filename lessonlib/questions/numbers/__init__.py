"""The numbers of questions that lines of data cannot draw: one module a lesson."""
