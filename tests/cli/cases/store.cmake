# SPDX-License-Identifier: MIT
# Filing, the store, and wear over what it holds.

# session, filing
evenfeed_case(session/no_sample EXIT 2 STDERR "--db needs --launcher NAME and --sample NAME"
  ARGS session no-table.mp4 --out out --db a.db --launcher bench-A)
evenfeed_case(session/no_db EXIT 2 STDERR "--replace is for filing: add --db FILE"
  ARGS session no-table.mp4 --out out --sample "sheet K" --replace)
evenfeed_case(session/bad_date EXIT 2 STDERR "--date 14.3.2026" "2026-03-14"
  ARGS session no-table.mp4 --out out --db a.db --launcher A --sample K --date 14.3.2026)
evenfeed_case(session/bad_date_unfiled EXIT 2 STDERR "--date 14.3.2026"
  ARGS session no-table.mp4 --out out --date 14.3.2026)
evenfeed_case(session/bad_overrule EXIT 1 STDERR "overrule-unknown.csv:2, column 'verdict': 'maybe'"
  ARGS session no-table.mp4 --out out --overrule overrule-unknown.csv)
evenfeed_case(measure/no_place EXIT 1 STDERR "--out /proc/feeds.csv: cannot be written"
  ARGS measure no-table.mp4 --bench bench.toml --out /proc/feeds.csv)
evenfeed_case(session/bad_property EXIT 2 STDERR "--property hardness" "KEY=VALUE"
  ARGS session no-table.mp4 --out out --db a.db --launcher A --sample K --property hardness)
evenfeed_case(session/not_a_store EXIT 1 STDERR "text.mp4: this file is not a store"
  ARGS session no-table.mp4 --out out --db text.mp4 --launcher A --sample K)

# Nothing measured, nothing filed: no store is left behind.
evenfeed_case(session/no_store_left EXIT 1 STDERR "no-table.mp4: no table tennis table found"
  WRITES out out/refused.png
  ARGS session no-table.mp4 --out out --db new.db --launcher A --sample K)
evenfeed_case(session/no_place_for_store EXIT 1 STDERR "absent/new.db: a store cannot be made there"
  ARGS session no-table.mp4 --out out --db absent/new.db --launcher A --sample K)

# store: old.db is of version 1 (invented: one session of three feeds).
evenfeed_case(store/no_db EXIT 2 STDERR "--db is required" ARGS store list)
evenfeed_case(store/no_action EXIT 2 STDERR "evenfeed store needs one of: list, show" ARGS store)
evenfeed_case(store/absent EXIT 1 STDERR "absent.db: there is no such store"
  ARGS store list --db absent.db)
evenfeed_case(store/not_a_store EXIT 1 STDERR "court.toml: this file is not a store"
  ARGS store list --db court.toml)
evenfeed_case(store/list EXIT 0 STDOUT_FILE store_list.txt WRITES old.db.version-1
  ARGS store list --db old.db)
evenfeed_case(store/list_csv EXIT 0 STDOUT_FILE store_list.csv WRITES old.db.version-1
  ARGS store list --db old.db --csv)
evenfeed_case(store/list_csv_json EXIT 2 STDERR "--csv and --json" ARGS store list --db old.db --csv --json)
evenfeed_case(store/setting_of_two_lines EXIT 2 STDERR "--setting tilt=3\\nx" "control characters"
  ARGS store add kept-session --db new.db --setting "tilt=3\nx")
evenfeed_case(store/list_launcher EXIT 1 STDERR "no launcher 'B'" "Known: bench-A"
  WRITES old.db.version-1 ARGS store list --db old.db --launcher B)
evenfeed_case(store/show EXIT 0 STDOUT_FILE store_show.txt WRITES old.db.version-1
  ARGS store show 1 --db old.db)
evenfeed_case(store/show_json EXIT 0 STDOUT "\"hardness\": \"47\"" WRITES old.db.version-1
  ARGS store show 1 --db old.db --json)
evenfeed_case(store/show_absent EXIT 1 STDERR "there is no session 7" WRITES old.db.version-1
  ARGS store show 7 --db old.db)
evenfeed_case(store/service EXIT 0 STDOUT_FILE store_service.txt WRITES old.db.version-1
  ARGS store service --db old.db --launcher bench-A --add wheel-replaced --item "wheel 2"
       --date 2026-03-20T09:30 --unfilmed 40)
evenfeed_case(store/service_first EXIT 0 STDOUT "wheel cleaned" WRITES new.db
  ARGS store service --db new.db --launcher A --new-launcher --add wheel-cleaned --date 2026-03-20)
evenfeed_case(store/service_kind EXIT 2 STDERR "--add: polished is not one of" "motor-serviced"
  ARGS store service --db old.db --launcher bench-A --add polished)
evenfeed_case(store/service_typo EXIT 1 STDERR "no launcher 'bnch-A'" WRITES old.db.version-1
  ARGS store service --db old.db --launcher bnch-A --add wheel-cleaned)
evenfeed_case(store/rename EXIT 0 STDOUT "bench-A is now left: 1 session" WRITES old.db.version-1
  ARGS store rename --db old.db --launcher bench-A --to left)
evenfeed_case(store/rename_unknown EXIT 1 STDERR "no launcher 'B'" WRITES old.db.version-1
  ARGS store rename --db old.db --launcher B --to left)
evenfeed_case(store/rename_formula EXIT 2 STDERR "--to =left: a name may not begin"
  ARGS store rename --db old.db --launcher bench-A --to =left)
evenfeed_case(store/temperature EXIT 2 STDERR "--temperature 250: allowed are -30 to 60"
  ARGS store add kept-session --db new.db --temperature 250)
evenfeed_case(store/service_no_kind EXIT 2 STDERR "add --add KIND"
  ARGS store service --db old.db --launcher bench-A --note hello)
evenfeed_case(store/export EXIT 0 STDOUT "session 1, 3 feeds\n\nwritten:\n  out  4 files, as 'session' writes them\n"
  WRITES old.db.version-1 out out/feeds.csv out/tagged.csv out/profile.toml out/session.json
  FILES out/feeds.csv=store_feeds.csv out/tagged.csv=store_tagged.csv
  ARGS store export 1 --db old.db --out out)
# kept-session is session 1 of old.db, exported; unfiled-session as 'session'
# of an earlier version left it, without the name of its film.
evenfeed_case(store/add EXIT 0 STDOUT "filed as session 1 in new.db, the first of launcher 'bench-A'"
  WRITES new.db ARGS store add kept-session --db new.db)
evenfeed_case(store/add_json EXIT 0 STDOUT "\"session\": 1" "\"written\": " "\"new.db\"\n"
  WRITES new.db ARGS store add kept-session --db new.db --json)
evenfeed_case(store/add_again EXIT 1 STDERR "this film is already session 1 in old.db"
  WRITES old.db.version-1 ARGS store add kept-session --db old.db)
evenfeed_case(store/add_replace EXIT 0 STDOUT "filed as session 1 in old.db\n"
  WRITES old.db.version-1 ARGS store add kept-session --db old.db --replace --note again)
evenfeed_case(store/add_film EXIT 0 STDOUT "filed as session 1 in new.db" WRITES new.db
  ARGS store add unfiled-session --film text.mp4 --db new.db --launcher A --sample K)
evenfeed_case(store/add_unnamed EXIT 2 STDERR "--launcher NAME and --sample NAME are required"
  ARGS store add unfiled-session --db new.db)
evenfeed_case(store/add_absent_film EXIT 1 STDERR "absent.mp4: there is no such file"
  ARGS store add unfiled-session --film absent.mp4 --db new.db --launcher A --sample K)
evenfeed_case(store/add_not_judged EXIT 1 STDERR "one-feed: there is no tagged.csv in it"
  ARGS store add one-feed --db new.db --launcher A --sample K)
evenfeed_case(store/add_wrong_verdict EXIT 1 STDERR "tagged.csv:2, column 'verdict': 'maybe'" "discard"
  ARGS store add wrong-session --db new.db --launcher A --sample K)
evenfeed_case(store/check EXIT 0 STDOUT "1 session, 3 feeds: whole" WRITES old.db.version-1
  ARGS store check --db old.db)
evenfeed_case(store/check_json EXIT 0 STDOUT "\"whole\": true" WRITES old.db.version-1
  ARGS store check --db old.db --json)
evenfeed_case(store/backup EXIT 0 STDOUT "written:\n  copy.db  a copy with 1 session\n" WRITES old.db.version-1 copy.db
  ARGS store backup --db old.db --out copy.db)
evenfeed_case(store/backup_json EXIT 0 STDOUT "\"sessions\": 1" "\"copy.db\""
  WRITES old.db.version-1 copy.db ARGS store backup --db old.db --out copy.db --json)
evenfeed_case(store/backup_over EXIT 1 STDERR "there is a file of that name"
  WRITES old.db.version-1 ARGS store backup --db old.db --out court.toml)

# wear, and the weeks to try it on
evenfeed_case(wear/too_few EXIT 0
  STDOUT "Too few sessions to tell." "written:\n  out/wear.html  the page: open it\n"
  WRITES old.db.version-1 out out/wear.json out/wear.html
  ARGS wear --db old.db --launcher bench-A --out out)
evenfeed_case(wear/nothing_to_draw EXIT 0 STDOUT_FILE wear_nothing_to_draw.txt WRITES old.db.version-1
  ARGS wear --db old.db --launcher bench-A --pictures drawn)
evenfeed_case(wear/json EXIT 0 STDOUT "\"alarm\": false" WRITES old.db.version-1
  ARGS wear --db old.db --launcher bench-A --json)
evenfeed_case(wear/no_launcher EXIT 1 STDERR "no launcher 'B'" WRITES old.db.version-1
  ARGS wear --db old.db --launcher B)
evenfeed_case(wear/no_store EXIT 1 STDERR "absent.db: there is no such store"
  ARGS wear --db absent.db --launcher B)
evenfeed_case(simulate/weeks EXIT 0 STDOUT "in 8 sessions" WRITES weeks.db
  ARGS simulate --weeks weeks.toml --db weeks.db)
evenfeed_case(simulate/weeks_out EXIT 2 STDERR "give --db FILE"
  ARGS simulate --weeks weeks.toml --out film)
evenfeed_case(simulate/weeks_wrong EXIT 1 STDERR "court.toml:" ARGS simulate --weeks court.toml --db weeks.db)
