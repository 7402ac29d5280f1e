"""The trap on the bench: springs, loop, closing, holding, trigger."""
