"""What a notebook and the command both call: each question takes what is at hand and answers.

`given` makes a week or a plan of whatever it is given, `asked` puts questions to a week, `printed`
makes the kitchen sheets of a plan, `told` writes any answer as text. Everything heavy is imported
by the function that needs it, so that a light question stays quick.
"""
