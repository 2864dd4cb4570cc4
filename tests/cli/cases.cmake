# SPDX-License-Identifier: MIT
# The cases: what a user may type and what must come back.

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

# simulate
evenfeed_case(simulate/absent_scene EXIT 1 STDERR "--scene absent.toml: neither a file nor a known scene" "half720p120"
  ARGS simulate --scene absent.toml --out film)
evenfeed_case(simulate/bad_seed EXIT 2 STDERR "--seed x: 'x' is not a whole number." ARGS simulate --seed x --out film)
evenfeed_case(simulate/negative_seed EXIT 2 STDERR "--seed: -1 is not a whole number from 0 on"
  ARGS simulate --seed -1 --out film)
evenfeed_case(simulate/huge_seed EXIT 2 STDERR "is not a whole number from 0 to 18446744073709551615"
  ARGS simulate --seed 99999999999999999999 --out film)
evenfeed_case(plan/negative_seed EXIT 2 STDERR "--seed: -7 is not a whole number from 0 on"
  ARGS plan order --samples K,M --seed -7)
evenfeed_case(simulate/no_folder EXIT 2 STDERR "--out is required" ARGS simulate)
evenfeed_case(simulate/wrong_file EXIT 1 STDERR "court.toml:"
  ARGS simulate --scene court.toml --out film)

# calibrate
evenfeed_case(calibrate/absent EXIT 1 STDERR "absent.mp4: there is no such file"
  ARGS calibrate absent.mp4)
evenfeed_case(calibrate/empty EXIT 1 STDERR "empty.mp4: the file is empty"
  ARGS calibrate empty.mp4)
evenfeed_case(calibrate/text EXIT 1 STDERR "text.mp4: this is not a film"
  ARGS calibrate text.mp4)
evenfeed_case(calibrate/truncated EXIT 1 STDERR "truncated.mp4: " "copy it again"
  ARGS calibrate truncated.mp4)
evenfeed_case(calibrate/no_table EXIT 1 STDERR "no-table.mp4: no table tennis table found" "--points"
  ARGS calibrate no-table.mp4)
evenfeed_case(calibrate/absent_lens EXIT 1 STDERR "absent.toml: no such file"
  ARGS calibrate no-table.mp4 --lens absent.toml)
evenfeed_case(calibrate/wrong_points EXIT 1 STDERR "bad-cell.csv: there is no column 'name'"
  ARGS calibrate no-table.mp4 --points bad-cell.csv)
evenfeed_case(calibrate/mark EXIT 0 STDOUT "evenfeed calibrate no-table.mp4 --profile table-tennis \
--slow 2 --points bench-marks.csv --out bench.toml"
  WRITES bench-mark.html ARGS calibrate no-table.mp4 --mark --slow 2)
evenfeed_case(calibrate/mark_beside EXIT 0 STDOUT "one-feed/b-mark.html: open it in a browser"
  WRITES one-feed/b-mark.html ARGS calibrate no-table.mp4 --mark --out one-feed/b.toml)
evenfeed_case(calibrate/mark_no_film EXIT 1 STDERR "text.mp4: this is not a film"
  ARGS calibrate text.mp4 --mark)
evenfeed_case(calibrate/overlay_no_picture EXIT 2 STDERR "--overlay seen.txt: allowed is the name of a picture"
  ARGS calibrate no-table.mp4 --overlay seen.txt)
evenfeed_case(calibrate/wrong_end EXIT 2 STDERR "--launcher-end: up"
  ARGS calibrate no-table.mp4 --launcher-end up)

# live
evenfeed_case(live/no_film EXIT 2 STDERR "SOURCE is required" ARGS live --out out)
evenfeed_case(live/both EXIT 2 STDERR "leave out --rehearse and --fast"
  ARGS live tcp://127.0.0.1:1 --rehearse no-table.mp4 --out out)
evenfeed_case(live/size EXIT 2 STDERR "--size 12: give width and height" ARGS live /dev/video0 --size 12 --out out)
evenfeed_case(live/no_camera EXIT 1 STDERR "cannot be opened" ARGS live tcp://127.0.0.1:1 --out out)
evenfeed_case(live/film_as_camera EXIT 1 STDERR "Play it with --rehearse" ARGS live no-table.mp4 --out out)
evenfeed_case(live/file_as_camera EXIT 1 STDERR "order.csv: this is a file, no stream" ARGS live order.csv --out out)
evenfeed_case(live/no_out EXIT 2 STDERR "--out FOLDER is required" ARGS live --rehearse no-table.mp4)
evenfeed_case(live/resume_and_out EXIT 2 STDERR "leave out SOURCE" ARGS live --resume one-feed --out out)
evenfeed_case(live/resume_nothing EXIT 1 STDERR "there is no live session in it" ARGS live --resume one-feed)
evenfeed_case(live/listen_no_page EXIT 2 STDERR "--listen is for the page"
  ARGS live --rehearse no-table.mp4 --out out --listen 0.0.0.0 --no-page)
evenfeed_case(live/listen_anywhere EXIT 2 STDERR "--listen 0.0.0.0: give the address"
  ARGS live --rehearse no-table.mp4 --out out --listen 0.0.0.0)
evenfeed_case(live/listen_nowhere EXIT 1 STDERR "203.0.113.7:0: the page cannot be shown there"
  ARGS live --rehearse no-table.mp4 --out out --listen 203.0.113.7)
evenfeed_case(live/film_rate EXIT 2 STDERR "--size and --rate are of a camera"
  ARGS live --rehearse no-table.mp4 --out out --rate 60)
evenfeed_case(live/order_filled EXIT 1 STDERR "order-filled.csv:2, column 'feed': this row was fed already"
  ARGS live --rehearse no-table.mp4 --out out --order order-filled.csv)
evenfeed_case(live/order_empty EXIT 1 STDERR "empty.csv: the file is empty"
  ARGS live --rehearse no-table.mp4 --out out --order empty.csv --no-page)
evenfeed_case(live/order_absent EXIT 1 STDERR "absent.csv: no such file"
  ARGS live --rehearse no-table.mp4 --out out --order absent.csv)
evenfeed_case(live/absent EXIT 1 STDERR "absent.mp4: there is no such file"
  ARGS live --rehearse absent.mp4 --out out)

# doctor; a machine without cameras is as good as one with.
evenfeed_case(doctor/none EXIT 0 STDOUT "no capture device in one-feed"
  ARGS doctor --size 160x120 --rate 5 --cameras one-feed)
evenfeed_case(doctor/no_device EXIT 0 STDOUT "cameras/video0: it is no device"
  ARGS doctor --size 160x120 --rate 5 --cameras cameras)
evenfeed_case(doctor/json EXIT 0 STDOUT "\"may_begin\": true"
  ARGS doctor --size 160x120 --rate 5 --cameras one-feed --json)
evenfeed_case(doctor/no_folder EXIT 1 STDERR "absent: this folder cannot be read"
  ARGS doctor --cameras absent)
evenfeed_case(doctor/odd_size EXIT 2 STDERR "--size 161x120: films have even" ARGS doctor --size 161x120)
evenfeed_case(doctor/size EXIT 2 STDERR "--size big: give width and height" ARGS doctor --size big)
evenfeed_case(doctor/rate EXIT 2 STDERR "--rate" ARGS doctor --rate 0)

# clip
evenfeed_case(clip/no_feeds EXIT 2 STDERR "--feeds is required"
  ARGS clip no-table.mp4 --from one-feed --out clips)
evenfeed_case(clip/wrong_feeds EXIT 2
  STDERR "--feeds 1,b: 'b' is not a whole number" "allowed are whole numbers joined by commas, as 12,21"
  ARGS clip no-table.mp4 --feeds 1,b --from one-feed --out clips)
evenfeed_case(clip/too_slow EXIT 2 STDERR "--slow"
  ARGS clip no-table.mp4 --feeds 1 --from one-feed --out clips --slow 0)
evenfeed_case(clip/no_session EXIT 1 STDERR "one-feed: it does not tell which film it came from"
  ARGS clip no-table.mp4 --feeds 1 --from one-feed --out clips)
evenfeed_case(clip/no_folder EXIT 1 STDERR "absent: there is no such folder"
  ARGS clip no-table.mp4 --feeds 1 --from absent --out clips)
evenfeed_case(clip/no_feed EXIT 1 STDERR "--feeds 7: there is no such feed" "Its feeds are"
  ARGS clip no-table.mp4 --feeds 7 --from one-feed --out clips)
evenfeed_case(clip/other_film EXIT 1
  STDERR "no-table.mp4: this is not the film of kept-session: it has" "films/monday.mp4"
  ARGS clip no-table.mp4 --feeds 1 --from kept-session --out clips)

# overlay
evenfeed_case(overlay/no_film EXIT 2 STDERR "FILM"
  ARGS overlay --from one-feed --pairs 1+1 --out pairs)
evenfeed_case(overlay/no_pairs EXIT 2 STDERR "which pairs"
  ARGS overlay no-table.mp4 --from one-feed --out pairs)
evenfeed_case(overlay/no_rows EXIT 2 STDERR "--pairs 3: rows are those of a file; say which with --matched"
  ARGS overlay no-table.mp4 --from one-feed --pairs 3 --out pairs)
evenfeed_case(overlay/wrong_pairs EXIT 2 STDERR "--pairs 3-7: allowed are rows of pairs.csv, as 3,7"
  ARGS overlay no-table.mp4 --from one-feed --pairs 3-7 --out pairs)
evenfeed_case(overlay/one_folder EXIT 2 STDERR "--from: 1 folder for 2 films; give one for each"
  ARGS overlay no-table.mp4 text.mp4 --from one-feed --pairs 1+1 --out pairs)
evenfeed_case(overlay/three_names EXIT 2 STDERR "--names: two names are needed, as K,M"
  ARGS overlay no-table.mp4 --from one-feed --pairs 1+1 --names K,M,N --out pairs)
evenfeed_case(overlay/wrong_form EXIT 2 STDERR "--as"
  ARGS overlay no-table.mp4 --from one-feed --pairs 1+1 --as heap --out pairs)
evenfeed_case(overlay/no_pairs_file EXIT 1 STDERR "absent.csv"
  ARGS overlay no-table.mp4 --from one-feed --matched absent.csv --out pairs)
evenfeed_case(overlay/not_pairs EXIT 1 STDERR "sheet-K.csv" "a_feed"
  ARGS overlay no-table.mp4 --from one-feed --matched sheet-K.csv --out pairs)
evenfeed_case(overlay/no_row EXIT 1 STDERR "--pairs 7: there is no such pair in matched.csv" "Its pairs are 1 to 2"
  ARGS overlay no-table.mp4 --from one-feed --matched matched.csv --pairs 7 --out pairs)
evenfeed_case(overlay/unmatched EXIT 1 STDERR "--pairs 1+2: these two feeds are not a pair in matched.csv"
  ARGS overlay no-table.mp4 --from one-feed --matched matched.csv --pairs 1+2 --out pairs)
evenfeed_case(overlay/no_feed EXIT 1 STDERR "--pairs: feed 7: there is no such feed" "Its feeds are"
  ARGS overlay no-table.mp4 --from one-feed --pairs 1+7 --out pairs)
evenfeed_case(overlay/no_session EXIT 1 STDERR "one-feed: it does not tell which film it came from"
  ARGS overlay no-table.mp4 --from one-feed --pairs 1+1 --out pairs)
evenfeed_case(overlay/other_film EXIT 1
  STDERR "no-table.mp4: this is not the film of kept-session: it has" "films/monday.mp4"
  ARGS overlay no-table.mp4 --from kept-session --pairs 1+2 --out pairs)
evenfeed_case(measure/wrong_microphone EXIT 2 STDERR "--microphone 1,2: allowed are three numbers"
  ARGS measure no-table.mp4 --bench bench.toml --microphone 1,2)
evenfeed_case(measure/deaf_microphone EXIT 2 STDERR "leave out --no-sound"
  ARGS measure no-table.mp4 --bench bench.toml --no-sound --microphone sample)
evenfeed_case(session/wrong_pictures EXIT 2 STDERR "--pictures"
  ARGS session no-table.mp4 --out out --pictures some)

evenfeed_case(calibrate/json_and_mark EXIT 2 STDERR "--json tells of a camera"
  ARGS calibrate no-table.mp4 --mark --json)
evenfeed_case(session/pictures_meant EXIT 2 STDERR "Did you mean 'doubtful'?"
  ARGS session no-table.mp4 --out out --pictures doubtfull)

# measure
evenfeed_case(measure/absent_bench EXIT 1 STDERR "absent.toml: no such file"
  ARGS measure no-table.mp4 --bench absent.toml)
evenfeed_case(measure/wrong_bench EXIT 1 STDERR "court.toml:" "'camera'"
  ARGS measure no-table.mp4 --bench court.toml)
evenfeed_case(measure/empty EXIT 1 STDERR "empty.mp4: the file is empty"
  ARGS measure empty.mp4 --bench bench.toml)
evenfeed_case(measure/truncated EXIT 1 STDERR "truncated.mp4: "
  ARGS measure truncated.mp4 --bench bench.toml)
evenfeed_case(measure/bad_sightings EXIT 1 STDERR "bad-sightings.csv:3, column 'u_px'"
  ARGS measure --sightings bad-sightings.csv --bench bench.toml)
evenfeed_case(measure/no_time EXIT 1 STDERR "no-time.csv: there is no column 't_s'"
  ARGS measure --sightings no-time.csv --bench bench.toml)
evenfeed_case(measure/no_source EXIT 2 STDERR "--sightings FILE" ARGS measure --bench bench.toml)
evenfeed_case(measure/bad_sample EXIT 2 STDERR "--sample-x" "99999"
  ARGS measure no-table.mp4 --bench bench.toml --sample-x 99999)
evenfeed_case(measure/wrong_spin EXIT 2 STDERR "--spin: sideways"
  ARGS measure no-table.mp4 --bench bench.toml --spin sideways)
evenfeed_case(measure/no_ball EXIT 1 STDERR "no-table.mp4: no feed was found"
  ARGS measure no-table.mp4 --bench bench.toml)
evenfeed_case(measure/no_ball_sightings EXIT 1 STDERR "no feed was found" WRITES seen.csv
  ARGS measure no-table.mp4 --bench bench.toml --sightings-out seen.csv)

# qualify
evenfeed_case(qualify/one_feed EXIT 0
  STDOUT "NOT KNOWN YET" "written:\n  tagged.csv    every feed with its verdict and why\n"
  WRITES tagged.csv summary.json FILES tagged.csv=qualify_one_feed.csv
  ARGS qualify one-feed/feeds.csv --characteristics x_mm,y_mm --out tagged.csv
       --summary summary.json)
evenfeed_case(qualify/gate EXIT 3 STDOUT "NOT KNOWN YET"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm,y_mm --gate)
evenfeed_case(qualify/limits EXIT 3 STDOUT "allowed is 70.0 mm"
  ARGS qualify uneven.csv --characteristics x_mm --gate)
evenfeed_case(qualify/no_limits EXIT 0 STDOUT "nothing was asked of the spread"
  ARGS qualify uneven.csv --characteristics x_mm --gate --no-limits)
evenfeed_case(qualify/overruled EXIT 0 STDOUT "1 verdict by hand: feed 1 review -> keep"
  WRITES own.csv FILES own.csv=qualify_overruled.csv
  ARGS qualify one-feed/feeds.csv --characteristics x_mm,y_mm --overrule overrule.csv --out own.csv)
evenfeed_case(qualify/json EXIT 0
  STDOUT "\"ready\": " "\"written\": " "\"tagged.csv\"\n"
  WRITES tagged.csv FILES tagged.csv=qualify_sheet_K.csv
  ARGS qualify sheet-K.csv --characteristics x_mm,speed_in_mps --json --out tagged.csv)
evenfeed_case(qualify/overruled_nobody EXIT 1 STDERR "overrule-nobody.csv:2, column 'feed': there is no feed '9'"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm,y_mm --overrule overrule-nobody.csv)
evenfeed_case(qualify/absent EXIT 1 STDERR "absent.csv: no such file" ARGS qualify absent.csv)
evenfeed_case(qualify/empty EXIT 1 STDERR "empty.csv: the file is empty" ARGS qualify empty.csv)
evenfeed_case(qualify/bad_cell EXIT 1 STDERR "bad-cell.csv:3, column 'x_mm': '6x0.0'"
  ARGS qualify bad-cell.csv --characteristics x_mm --out tagged.csv --summary summary.json)
evenfeed_case(qualify/no_column EXIT 1 STDERR "there is no column 'colour'"
  ARGS qualify bad-cell.csv --characteristics colour --out tagged.csv)

# session
evenfeed_case(session/no_folder EXIT 2 STDERR "--out is required" ARGS session no-table.mp4)
evenfeed_case(session/empty EXIT 1 STDERR "empty.mp4: the file is empty"
  ARGS session empty.mp4 --out out)
evenfeed_case(session/truncated EXIT 1 STDERR "truncated.mp4: " ARGS session truncated.mp4 --out out)
evenfeed_case(session/no_table EXIT 1 STDERR "no-table.mp4: no table tennis table found"
  WRITES out out/refused.png ARGS session no-table.mp4 --out out)
evenfeed_case(session/no_ball EXIT 1 STDERR "no-table.mp4: no feed was found"
  ARGS session no-table.mp4 --bench bench.toml --out out)
evenfeed_case(session/absent_bench EXIT 1 STDERR "absent.toml: no such file"
  ARGS session no-table.mp4 --bench absent.toml --out out)
evenfeed_case(session/bad_baseline EXIT 1 STDERR "bad-cell.csv"
  ARGS session no-table.mp4 --baseline bad-cell.csv --out out)

# pair
set(pair_writes K-M K-M/pairs.csv K-M/left_out.csv K-M/balance.csv K-M/effect.json K-M/pair.html)
evenfeed_case(pair/differ EXIT 0
  STDOUT "sheet-K's return speed was higher by" "written:\n  K-M/pair.html     the page: open it\n"
  WRITES ${pair_writes}
  FILES K-M/pairs.csv=pair_pairs.csv K-M/left_out.csv=pair_left_out.csv K-M/balance.csv=pair_balance.csv
  ARGS pair sheet-K.csv sheet-M.csv --out K-M)
evenfeed_case(pair/pictures EXIT 0 STDOUT "drawn: 6 files"
  WRITES drawn drawn/difference-ret-speed-mps.png drawn/difference-ret-speed-mps.svg
    drawn/feeds-alike.png drawn/feeds-alike.svg drawn/trials-ret-speed-mps.png drawn/trials-ret-speed-mps.svg
  ARGS pair sheet-K.csv sheet-M.csv --outcome ret_speed_mps --pictures drawn)
evenfeed_case(pair/quiet EXIT 0 STDOUT_FILE nothing.txt ARGS pair sheet-K.csv sheet-M.csv --quiet)
evenfeed_case(pair/json EXIT 0 STDOUT "\"program_version\": \"${PROJECT_VERSION}\""
  ARGS pair sheet-K.csv sheet-M.csv --json)
evenfeed_case(pair/json_written EXIT 0 STDOUT "\"written\": " "\"K-M/pair.html\",\n"
  WRITES ${pair_writes} ARGS pair sheet-K.csv sheet-M.csv --json --out K-M)
evenfeed_case(pair/counts_json EXIT 0 STDOUT "\"differ\": true" ARGS pair --counts 4/22,19/21 --json)
evenfeed_case(pair/declared EXIT 0 STDOUT "differ in 2 declared properties: thickness_mm (2.0, 1.8)"
  ARGS pair sheet-K.csv sheet-M.csv --samples samples.csv)
evenfeed_case(pair/elsewhere EXIT 0 STDOUT "cannot be told apart in height"
  ARGS pair sheet-K.csv sheet-M.csv --outcomes outcomes-K.csv outcomes-M.csv)
evenfeed_case(pair/three EXIT 0 STDOUT "sets of 3 matched on speed at the bounce, landing along the table and landing across the table"
  WRITES ${pair_writes} FILES K-M/pairs.csv=pair_three.csv K-M/balance.csv=pair_three_balance.csv
  ARGS pair sheet-K.csv sheet-M.csv one-more.csv --out K-M)
evenfeed_case(pair/wide EXIT 0 STDOUT "36 pairs matched on landing along the table and speed at the bounce"
  WRITES ${pair_writes} FILES K-M/pairs.csv=pair_wide.csv
  ARGS pair sheet-K.csv sheet-M.csv --no-calipers --characteristics x_mm,speed_in_mps --out K-M)
evenfeed_case(pair/kept_only EXIT 0 STDOUT "out of 30 of K, 36 of M usable feeds"
  ARGS pair sheet-K-review.csv sheet-M.csv --names K,M)
evenfeed_case(pair/review EXIT 0 STDOUT "out of 36 of K, 36 of M usable feeds"
  ARGS pair sheet-K-review.csv sheet-M.csv --names K,M --include review)
evenfeed_case(pair/ratio EXIT 0 STDOUT "36 pairs matched on speed at the bounce, landing along the table and landing across the table, out of 30 of K, 36 of M"
  WRITES ${pair_writes} FILES K-M/pairs.csv=pair_ratio.csv K-M/left_out.csv=pair_ratio_left_out.csv
  ARGS pair sheet-K-review.csv sheet-M.csv --names K,M --ratio 2 --out K-M)
evenfeed_case(pair/planned EXIT 0 STDOUT "50 pairs were planned and 35 found"
  ARGS pair sheet-K.csv sheet-M.csv --planned 50)
evenfeed_case(pair/counts EXIT 0 STDOUT "4/22 and 19/21 differ: difference -72.3 %"
  ARGS pair --counts 4/22,11/20,19/21)
evenfeed_case(pair/counts_alike EXIT 0 STDOUT "11/20 and 12/23 cannot be told apart"
  ARGS pair --counts 11/20,12/23)
evenfeed_case(pair/bad_count EXIT 2 STDERR "'14/9'" "successes/trials" ARGS pair --counts 14/9,1/2)
evenfeed_case(pair/order EXIT 0 STDOUT "18 pairs matched on speed at the bounce, landing along the table and landing across the table, out of 18 of K, 18 of M"
  WRITES ${pair_writes} FILES K-M/pairs.csv=pair_order.csv K-M/balance.csv=pair_order_balance.csv
  ARGS pair sheet-K.csv --order order.csv --no-calipers --out K-M)
evenfeed_case(pair/order_unfilled EXIT 0 STDOUT "order-longer.csv: 1 of 19 planned trials of K has no feed"
  ARGS pair sheet-K.csv --order order-longer.csv --no-calipers)
evenfeed_case(pair/order_twice EXIT 1 STDERR "order-twice.csv:4, column 'order': feed 1 is of 'M' here"
  "count the feeds of the whole trial"
  ARGS pair sheet-K.csv --order order-twice.csv --no-calipers)
evenfeed_case(pair/order_nothing EXIT 1 STDERR "order.csv: no feed of 'P'"
  ARGS pair sheet-K.csv --order order.csv --names K,P)
evenfeed_case(pair/one_file EXIT 1 STDERR "sheet-K.csv: there is no column 'sample' to split it by" "--order"
  ARGS pair sheet-K.csv)
evenfeed_case(pair/no_file EXIT 2 STDERR "two feeds files" ARGS pair)
# What was said at the bench splits the file as the sheet does.
evenfeed_case(pair/logged EXIT 0 STDOUT "18 pairs matched on speed at the bounce, landing along the table and landing across the table, out of 18 of K, 18 of M"
  ARGS pair logged.csv --no-calipers)
evenfeed_case(pair/logged_nobody EXIT 1 STDERR "logged.csv: no feed in it is of 'P'" "K, M"
  ARGS pair logged.csv --names K,P)
evenfeed_case(pair/logged_one_name EXIT 2 STDERR "--names K" ARGS pair logged.csv --names K)
evenfeed_case(pair/same_name EXIT 2 STDERR "--names K,M" ARGS pair sheet-K.csv sheet-K.csv)
evenfeed_case(pair/absent EXIT 1 STDERR "absent.csv: no such file" ARGS pair absent.csv sheet-M.csv)
evenfeed_case(pair/bad_cell EXIT 1 STDERR "bad-cell.csv:3, column 'x_mm': '6x0.0'"
  ARGS pair bad-cell.csv sheet-M.csv --characteristics x_mm --out K-M)
evenfeed_case(pair/twice EXIT 1 STDERR "outcomes-twice.csv:3, column 'feed': feed 5 stands twice"
  ARGS pair sheet-K.csv sheet-M.csv --outcomes outcomes-K.csv outcomes-twice.csv --out K-M)
evenfeed_case(pair/no_outcome EXIT 1 STDERR "there is no column 'colour'"
  ARGS pair sheet-K.csv sheet-M.csv --outcome colour)
evenfeed_case(pair/wrong_ratio EXIT 2 STDERR "--ratio 0: allowed is" ARGS pair sheet-K.csv sheet-M.csv --ratio 0)

# report
evenfeed_case(report/done EXIT 0 STDOUT_FILE report_done.txt WRITES one-feed/report.html
  ARGS report one-feed --profile court.toml)
evenfeed_case(report/quiet EXIT 0 STDOUT_FILE nothing.txt WRITES one-feed/report.html
  ARGS report one-feed --quiet)
evenfeed_case(report/other_game EXIT 0 STDOUT_FILE report_done.txt WRITES one-feed/report.html
  ARGS report one-feed --profile pickleball)
evenfeed_case(report/csv EXIT 0 STDOUT "2026-03-14T15:10:00Z,,bench-A,sheet K,,no" ARGS report kept-session --csv)
evenfeed_case(report/csv_out EXIT 2 STDERR "leave out --out" ARGS report kept-session --csv --out a.html)
evenfeed_case(report/absent EXIT 1 STDERR "absent: there is no such folder" ARGS report absent)
evenfeed_case(report/bad_cell EXIT 1 STDERR "bad-session/tagged.csv:3, column 'x_mm': 'inf'"
  ARGS report bad-session)
evenfeed_case(report/no_place EXIT 1 STDERR "no-such-folder/a.html"
  ARGS report one-feed --out no-such-folder/a.html)

# plan: topics with their own options
evenfeed_case(plan/no_topic EXIT 2 STDERR "evenfeed plan needs one of: trials, order" ARGS plan)
evenfeed_case(plan/charts/table EXIT 0
  STDOUT "chart           centre  warning   action" "written:\n  charts.csv  the charts, as numbers\n"
  WRITES charts.csv FILES charts.csv=plan_charts.csv
  ARGS plan charts --run-length 370 --characteristics 2 --shifts 0,0.5 --out charts.csv)
evenfeed_case(plan/charts/quiet EXIT 0 STDOUT_FILE nothing.txt ARGS plan charts --quiet)
evenfeed_case(plan/charts/wrong_run_length EXIT 2 STDERR "--run-length 3: allowed is" "20 to 100000"
  ARGS plan charts --run-length 3)
evenfeed_case(plan/trials/sd EXIT 0 STDOUT "0.1      99               142"
  ARGS plan trials --sd 0.35 --difference 0.1 --paired-share 0.7)
evenfeed_case(plan/trials/json EXIT 0 STDOUT "\"trials_per_sample\": 142"
  ARGS plan trials --sd 0.35 --difference 0.1 --paired-share 0.7 --json)
evenfeed_case(plan/order/json EXIT 0 STDOUT "\"purpose\": \"warm-up\""
  ARGS plan order --samples K,M --trials 8 --json)
evenfeed_case(plan/factors/json EXIT 0 STDOUT "\"separable\": \"no\"" ARGS plan factors samples.csv --json)
evenfeed_case(plan/camera/json EXIT 0 STDOUT "\"view\": \"clear\""
  ARGS plan camera --height 2400 --distance 900 --json)
evenfeed_case(plan/charts/json EXIT 0 STDOUT "\"chart\": \"individuals\"" ARGS plan charts --json)
evenfeed_case(plan/charts/json_and_table EXIT 2 STDERR "--json" "--out"
  ARGS plan charts --json --out -)
evenfeed_case(plan/trials/wrong_number EXIT 2 STDERR "--difference 0.1,b: 'b' is not a number"
  "joined by commas" ARGS plan trials --sd 1 --difference 0.1,b)
evenfeed_case(plan/camera/two_of_three EXIT 2 STDERR "--eye-mm: 3 values joined by commas are needed"
  ARGS plan camera --eye-mm 1,2)
evenfeed_case(plan/trials/rates EXIT 0 STDOUT "all feeds alike: 82 trials per sample"
  ARGS plan trials --rates 0.6,0.8)
evenfeed_case(plan/trials/nothing EXIT 2 STDERR "one of --sd, --pilot or --rates" ARGS plan trials)
evenfeed_case(plan/trials/not_a_pilot EXIT 1 STDERR "court.toml: this is not JSON"
  ARGS plan trials --pilot court.toml --difference 1)
evenfeed_case(plan/order/files EXIT 0
  STDOUT "    1  warm-up   . . . . ." "written:\n  order/order.html  the sheet: print it, tick it\n"
  WRITES order order/order.csv order/order.html FILES order/order.csv=plan_order.csv
  ARGS plan order --samples K,M --trials 8 --seed 7 --out order)
evenfeed_case(plan/order/three_by_turns EXIT 0 STDOUT "changes of sample"
  WRITES order order/order.csv order/order.html FILES order/order.csv=plan_order_three.csv
  ARGS plan order --samples K,M,N --trials 6 --turn 1 --seed 7 --out order)
evenfeed_case(plan/order/cost EXIT 0 STDOUT "changes of sample" ARGS plan order --samples K,M --trials 40)
evenfeed_case(plan/order/one_sample EXIT 2 STDERR "samples = 1" ARGS plan order --samples K)
evenfeed_case(plan/factors/aliased EXIT 0 STDOUT "it is settled by"
  ARGS plan factors samples.csv)
evenfeed_case(plan/factors/no_column EXIT 1 STDERR "there is no column 'sample'"
  ARGS plan factors bad-cell.csv)
evenfeed_case(plan/camera/files EXIT 0
  STDOUT "s_x mm" "written:\n  camera/camera.html  the page: open it\n"
  WRITES camera camera/camera.html camera/places.csv FILES camera/places.csv=plan_camera.csv
  ARGS plan camera --eye-mm 685,-1700,2400 --out camera)
evenfeed_case(plan/camera/blind EXIT 0 STDOUT "DEGENERATE"
  ARGS plan camera --eye-mm 150,0,2400 --target-mm 150,0,0)
evenfeed_case(plan/camera/no_place EXIT 2 STDERR "one of --height with --distance, --eye-mm and --bench"
  ARGS plan camera)
evenfeed_case(plan/camera/as_an_owner_knows_it EXIT 0 STDOUT "s_x mm"
  ARGS plan camera --height 2400 --distance 900 --lens 1x)
evenfeed_case(plan/camera/half_a_place EXIT 2 STDERR "--height and --distance belong together"
  ARGS plan camera --height 2400)
evenfeed_case(plan/camera/two_lenses EXIT 2 STDERR "--lens and --focal-px"
  ARGS plan camera --height 2400 --distance 900 --lens 2x --focal-px 1000)
evenfeed_case(plan/camera/below EXIT 2 STDERR "above the surface"
  ARGS plan camera --eye-mm 0,0,-5)

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
evenfeed_case(store/service_kind EXIT 2 STDERR "--add polished" "motor-serviced"
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

# Outputs that would destroy what is read, or each other, or a device.
evenfeed_case(measure/out_is_film EXIT 2 STDERR "--out no-table.mp4" "VIDEO no-table.mp4"
  ARGS measure no-table.mp4 --bench bench.toml --out no-table.mp4)
evenfeed_case(measure/out_is_bench EXIT 2 STDERR "--out ./bench.toml" "--bench bench.toml"
  ARGS measure no-table.mp4 --bench bench.toml --out ./bench.toml)
evenfeed_case(measure/out_twice EXIT 2 STDERR "--sightings-out a.csv" "--out a.csv"
  ARGS measure no-table.mp4 --bench bench.toml --out a.csv --sightings-out a.csv)
evenfeed_case(calibrate/out_is_film EXIT 2 STDERR "--out no-table.mp4"
  ARGS calibrate no-table.mp4 --out no-table.mp4)
evenfeed_case(calibrate/overlay_is_film EXIT 2 STDERR "--overlay no-table.mp4"
  ARGS calibrate no-table.mp4 --overlay no-table.mp4)
evenfeed_case(qualify/out_is_feeds EXIT 2 STDERR "--out one-feed/feeds.csv"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm --out one-feed/feeds.csv)
evenfeed_case(qualify/out_twice EXIT 2 STDERR "--summary x" "--out x"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm --out x --summary x)
evenfeed_case(qualify/out_device EXIT 1 STDERR "/dev/full" "this is a device"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm --out /dev/full)
evenfeed_case(qualify/out_folder EXIT 1 STDERR "one-feed: this is a folder"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm --out one-feed)
evenfeed_case(qualify/out_standard_output EXIT 0 STDOUT "feed,"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm --quiet --out -)
evenfeed_case(report/out_is_input EXIT 2 STDERR "--out one-feed/feeds.csv"
  ARGS report one-feed --out one-feed/feeds.csv)
evenfeed_case(report/out_standard_output EXIT 0 STDOUT "<!DOCTYPE html>"
  ARGS report one-feed --out -)
evenfeed_case(plan/charts/out_standard_output EXIT 0 STDOUT "chart," ARGS plan charts --quiet --out -)
evenfeed_case(session/out_is_bench EXIT 2 STDERR "--out ./bench.toml" "--bench bench.toml"
  ARGS session no-table.mp4 --bench bench.toml --out .)
evenfeed_case(session/out_is_file EXIT 1 STDERR "--out bench.toml: this is not a folder"
  ARGS session no-table.mp4 --out bench.toml)
evenfeed_case(pair/out_is_input EXIT 2 STDERR "pairs.csv" "--order out/pairs.csv"
  ARGS pair sheet-K.csv --order out/pairs.csv --out out)
evenfeed_case(wear/out_is_store EXIT 2 STDERR "--db out/wear.json"
  ARGS wear --db out/wear.json --launcher A --out out)

# Values that cannot be, each refused by its name.
evenfeed_case(plan/camera/nan EXIT 2 STDERR "--eye-mm"
  ARGS plan camera --eye-mm nan,-1700,2400)
evenfeed_case(plan/order/formula EXIT 2 STDERR "--samples =K" "formula"
  ARGS plan order --samples =K,M --trials 8)
evenfeed_case(pair/no_caliper EXIT 2 STDERR "--caliper-sd: 0 is not a number above 0"
  ARGS pair sheet-K.csv sheet-M.csv --caliper-sd 0)
evenfeed_case(pair/no_difference EXIT 2 STDERR "--difference: 0 is not a number above 0"
  ARGS pair sheet-K.csv sheet-M.csv --difference 0)
evenfeed_case(qualify/named_twice EXIT 2 STDERR "'x_mm' stands twice"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm,x_mm)
evenfeed_case(report/wrong_verdict EXIT 1 STDERR "wrong-session/tagged.csv:2, column 'verdict': 'maybe'"
  ARGS report wrong-session)
evenfeed_case(store/service/future EXIT 2 STDERR "--date 2199-01-01: this lies in the future"
  ARGS store service --db old.db --launcher bench-A --add wheel-cleaned --date 2199-01-01)
evenfeed_case(measure/slow_and_rate EXIT 2 STDERR "--slow and --rate say the same"
  ARGS measure no-table.mp4 --bench bench.toml --slow 8 --rate 240)
evenfeed_case(measure/slow_nothing EXIT 2 STDERR "--slow"
  ARGS measure no-table.mp4 --bench bench.toml --slow 0)
string(REPEAT x 300 long_name)
evenfeed_case(session/long_name EXIT 1 STDERR "--out ${long_name}: cannot be used"
  ARGS session no-table.mp4 --out ${long_name})

# A faulty profile is refused by file, line and key, whatever the command.
foreach(command "calibrate|no-table.mp4" "measure|no-table.mp4|--bench|bench.toml"
    "qualify|one-feed/feeds.csv" "report|one-feed" "session|no-table.mp4|--out|out"
    "wear|--db|absent.db|--launcher|A" "pair|sheet-K.csv|sheet-M.csv")
  string(REPLACE "|" ";" words ${command})
  list(GET words 0 name)
  evenfeed_case(${name}/profile_nan EXIT 1 STDERR "nan.toml:9, key 'ball.radius_mm'"
    ARGS ${words} --profile nan.toml)
  evenfeed_case(${name}/profile_unit EXIT 1 STDERR "metres.toml:8, key 'ball'" "5 to 200"
    ARGS ${words} --profile metres.toml)
  evenfeed_case(${name}/profile_unknown_key EXIT 1
    STDERR "unknown-key.toml:11, key 'ball.colour'" "mass_g, radius_mm"
    ARGS ${words} --profile unknown-key.toml)
  evenfeed_case(${name}/profile_unknown_section EXIT 1 STDERR "unknown-section.toml:19, key 'colours'"
    ARGS ${words} --profile unknown-section.toml)
  evenfeed_case(${name}/profile_syntax EXIT 1 STDERR "syntax.toml:4: "
    ARGS ${words} --profile syntax.toml)
  evenfeed_case(${name}/profile_absent EXIT 1 STDERR "--profile absent" "table-tennis"
    ARGS ${words} --profile absent)
endforeach()
