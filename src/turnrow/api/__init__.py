"""What notebooks and scripts import: `import turnrow as tr` gives the names of `turnrow.__all__`.

Each function is one door to the same heart that commands and pages use; nothing is worked out here.
"""
