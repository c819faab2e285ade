"""`python -m cli`, in the tree."""

from cli.main import main

main()
