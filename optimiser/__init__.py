"""From a week to a plan: servings, rules, program, solve, reasons, report, command."""
