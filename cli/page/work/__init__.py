"""The work of the page: jobs, their queue, the process that solves, and their answers in words."""
