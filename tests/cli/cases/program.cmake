# SPDX-License-Identifier: MIT
# The program itself: help, versions, and what somebody may have meant.

# The program itself.
evenfeed_case(help EXIT 0 STDOUT "From a film to a verdict" ARGS --help)
evenfeed_case(help/word EXIT 0 STDOUT "evenfeed help COMMAND" ARGS help)
evenfeed_case(help/command EXIT 0 STDOUT "Usage: evenfeed session VIDEO --out FOLDER [OPTION...]"
  ARGS help session)
evenfeed_case(help/subcommand EXIT 0 STDOUT "evenfeed store export 3 --db launchers.db"
  ARGS help store export)
evenfeed_case(help/itself EXIT 0 STDOUT "evenfeed help COMMAND" ARGS help help)
evenfeed_case(help/no_topic EXIT 2 STDERR "'evenfeed plan' has no 'nonsense'. See 'evenfeed plan --help'."
  ARGS help plan nonsense)
evenfeed_case(help/unknown EXIT 2 STDERR "'sesion' is not a command. Did you mean 'session'?"
  ARGS help sesion)
evenfeed_case(version_word EXIT 0 STDOUT "evenfeed ${PROJECT_VERSION}\n" ARGS version)
evenfeed_case(version EXIT 0 STDOUT "${PROJECT_VERSION}" ARGS --version)
evenfeed_case(no_command EXIT 0 STDOUT "Start with\n  evenfeed session" ARGS)
evenfeed_case(unknown_command EXIT 2 STDERR "'nonsense' is not a command" "simulate" ARGS nonsense)

# What somebody may have meant.
evenfeed_case(meant/command EXIT 2 STDERR "'sotre' is not a command. Did you mean 'store'?" ARGS sotre)
evenfeed_case(meant/topic EXIT 2 STDERR "plan needs one of: trials, order" ARGS plan foo)
evenfeed_case(meant/option EXIT 2 STDERR "report does not know --profil. Did you mean '--profile'?"
  "evenfeed report --help" ARGS report one-feed --profil table-tennis)
evenfeed_case(meant/option_first EXIT 2 STDERR "session does not know --profil. Did you mean '--profile'?"
  ARGS session film.mp4 --profil table-tennis)
evenfeed_case(meant/profile EXIT 1 STDERR "--profile tennis" "Did you mean 'table-tennis'?"
  ARGS report one-feed --profile tennis)
evenfeed_case(meant/scene EXIT 1 STDERR "Did you mean 'half720p120'?" "short640p60"
  ARGS simulate --scene half720p12 --out film)
evenfeed_case(meant/column EXIT 1 STDERR "there is no column 'x_m'. Did you mean 'x_mm'?"
  ARGS qualify one-feed/feeds.csv --characteristics x_m)
evenfeed_case(meant/semicolons EXIT 0
  STDOUT "read with semicolons between the fields and decimal commas"
  ARGS qualify semicolons.csv)
