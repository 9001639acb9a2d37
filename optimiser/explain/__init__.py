"""Why a plan is as it is, why there is none, and what would mend it."""
