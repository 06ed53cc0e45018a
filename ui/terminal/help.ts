/** The help texts: one page, and one per verb with examples that work on the demo. */

export const HELP = `kartwright VERB [FILE ...] [options]

Works out what a kart with a donor engine does: from a project file, or from the
built-in demo project where no file is named. Several files are merged:
kartwright lap mine.kartwright.json tracks/oval.kartwright.json

Verbs
  check        read the file; list problems, repairs and what is assumed
  accelerate   a standing or rolling start through the gears
  topspeed     speeds in gears, top speed, steepest grades, over-rev on downshifts
  brake        a stop, with the clutch in or the engine helping
  lap          a lap, or a run along an open course
  teeth        which sprockets: every pair on every track, near-ties, chain, what to carry
  donors       which engine: each at the best of the sprockets listed, where it gains, how sure
  balance      where to set the brakes for loose and hard ground, with and without the engine
  unknowns     how sure the answer is, which kart is better, what to measure first
  line         smoothest and fastest line of a track, and where the fastest gains
  match LOG    a logged drive against the estimate, and what the log can tell
  evidence     run the outside checks and print every difference
  help [VERB]  this page, or one verb with examples

Options of every verb that computes
  --kart ID[,ID]    karts side by side (default: the first; 'all')
  --day ID          day (default: the first)
  --set PATH=VALUE  change the file for this call, such as
                    --set karts.clodlet-four-asphalt.sprockets.rear=44
  --json            one object {status, problems, result, diagnostics}, SI units; null: there is
                    no such thing, as shifts with a belt, which changes its ratio by itself
  --csv             columns with their units, SI
  --html FILE       a page with plots, complete in itself
  --plot            draw the main plot in the terminal

Exit codes: 0 done; 1 the file has problems; 2 the command line is wrong;
3 the numbers failed (a partial result is marked), or a check does not hold.

Estimates for a closed course. Class rules and the inspector stand over any number here.
`;

const VERB_HELP: Readonly<Record<string, string>> = {
  check: `kartwright check [FILE ...]

Reads the file and prints every problem with place, value, limit and remedy; repairs and warnings;
what is in it. Nothing is computed.

  --assumptions   list every value that was assumed or borrowed, with its spread
  --schema        print every field a project file may hold, with unit, range and how to
                  measure it, as a JSON Schema; editors complete and check a file by it
  --json          the same as one object

Examples
  kartwright check
  kartwright check --schema
  kartwright check mine.kartwright.json --assumptions
`,
  accelerate: `kartwright accelerate [FILE ...]

A start from rest (clutch slipping) or rolling, through the gears, to the quarter mile or a mark.

  --surface ID[,ID]  ground (default: the first the tyres know; 'all')
  --from SPEED       rolling start, such as "30 km/h"
  --to MARK          end at a speed ("100 km/h") or a distance ("200 m")
  --gear N           gear to start in; a belt finds its own
  --grade G          such as "5 %"; downhill "-5 %"
  --rollout          start the clock after the first foot

Examples
  kartwright accelerate --kart clodlet-four-asphalt,clodlet-single-asphalt --surface asphalt
  kartwright accelerate --kart clodlet-four-knobbly,clodlet-single-knobbly --surface loose-clay --plot
`,
  topspeed: `kartwright topspeed [FILE ...]

Speeds in gears, shift points, top speed and what ends it, the steepest grade each gear holds, and the
road speed above which each gear drives the engine past the highest speed given for it. A belt has the
parts of its range instead: lowest ratio, changing at a held engine speed, highest ratio.

  --surface ID   ground
  --grade G      such as "5 %"; downhill "-5 %"

Example
  kartwright topspeed --kart clodlet-four-asphalt --surface asphalt
`,
  brake: `kartwright brake [FILE ...]

A stop on the straight: distance, which axle reaches its limit first, how much the engine does.

  --surface ID[,ID]  ground ('all')
  --from SPEED       default 60 km/h
  --to SPEED         default: standing
  --brakes MODE      threshold (default), held, locked, ideal, none
  --pedal FORCE      for held, such as "200 N"
  --engine MODE      "clutch in", "in gear", "shifting down"; all three side by side where left out.
                     A belt brakes in gear alone, throttle shut in its highest ratio
  --gear N           gear at the start; not of a belt
  --grade G          such as "5 %"; downhill "-5 %"

Examples
  kartwright brake --kart clodlet-four-asphalt,clodlet-single-asphalt --surface asphalt
  kartwright brake --kart clodlet-four-knobbly,clodlet-single-knobbly --surface loose-clay
  kartwright brake --from "80 km/h" --brakes held --pedal "250 N" --engine "clutch in"
  kartwright brake --from "50 km/h" --grade "-10 %"
`,
  lap: `kartwright lap [FILE ...]

A flying lap of a closed track, or a run along an open one.

  --track ID[,ID]  tracks (default: the first; 'all')
  --start HOW      flying, standing, rolling
  --engine MODE    while braking: "as it pays" (default), "always", "never"
  --line LINE      "as drawn" (default), "smoothest", "fastest": kept with the track, or found first
  --spacing D      distance between stations, such as "0.1 m" (default 0.2 m, at least 0.005 m)

Examples
  kartwright lap --track tansy-hollow --kart clodlet-four-knobbly,clodlet-single-knobbly
  kartwright lap --track brindlequag-works --kart clodlet-four-asphalt,clodlet-single-asphalt --plot
  kartwright lap --track fettlebrow --html hill.html
`,
  unknowns: `kartwright unknowns [FILE ...]

How sure an answer is. Every input in use is drawn from its spread, all karts with the same draws: the
interval of each figure, the chance that one kart beats another, which unknown is to blame, and which
measurement would narrow it most. Spreads come from the file, or from the table of quantities (see
kartwright check --assumptions).

Of several karts the comparison is said first: who is ahead, by how much in nine draws in ten, and what would
settle it. Of the doubt (as variance) each unknown has two shares: by itself is what would go away if it alone
became known; with whatever it acts together with, all it has a hand in. What is to blame and not worth
measuring by itself has its reason below. Figures of a measurement come with the error the number of draws
leaves: more draws, less of it.

  --of WHAT      lap (default), accelerate, brake, topspeed
  --track ID     for laps (default: the first)
  --line KIND    line the laps drive where the track keeps one: as drawn (default), smoothest, fastest
  --surface ID   for the others
  --from SPEED   for brake, default 60 km/h
  --draws N      default 2000
  --seed N       other draws of the same kind (default 1); the same seed gives the same answer
  --csv          the main figure draw by draw

Examples
  kartwright unknowns --track brindlequag-works --kart clodlet-four-asphalt,clodlet-single-asphalt --draws 400
  kartwright unknowns --of brake --kart clodlet-four-knobbly --surface loose-clay --draws 200
  kartwright unknowns --of accelerate --surface asphalt --draws 200 --html unknowns.html
`,
  line: `kartwright line [FILE ...]

Three lines of a track for one kart on one day: as drawn; the smoothest (least squared curvature within the
width); the fastest (least lap time: surfaces, slopes and the kart's own limits count). Ctrl-C keeps the best so far.

  --track ID[,ID]  tracks (default: the first; 'all')
  --margin D       kept free to each edge beside half the kart's width, such as "0.3 m"
  --start HOW      flying, standing, rolling
  --engine MODE    while braking: "as it pays" (default), "always", "never"

With --json the result holds \`keep\`: put it into the file as the track's \`lines\`, and --line drives it.

Examples
  kartwright line --track brindlequag-works --kart clodlet-four-asphalt
  kartwright line --track tansy-hollow --kart clodlet-four-knobbly,clodlet-single-knobbly --html lines.html
`,
  teeth: `kartwright teeth [FILE ...]

Every pair of sprockets at hand on every track named: lap time, shifts, time and metres on the limiter,
top speed; the pairs no clock tells from the best; one pair for all tracks; the fewest sprockets worth
carrying, and what a box of two to five does; chain links, centre distance, slot travel and wrap; other
tyres as teeth.

  --tracks ID[,ID]  tracks (default: the first; 'all')
  --owned           only sprockets the file marks as owned
  --all             those that can be bought too (default)
  --line KIND       line the laps drive where the track keeps one: as drawn (default), smoothest, fastest
  --noise T         laps this close cannot be told apart (default 0.05 s)
  --within T        what a set worth carrying may lose on a track (default: the noise)

Examples
  kartwright teeth --kart clodlet-four-knobbly --tracks tansy-hollow,cinder-yard
  kartwright teeth --kart clodlet-four-asphalt --tracks brindlequag-works
  kartwright teeth --tracks all --owned --within "0.2 s" --html teeth.html
`,
  donors: `kartwright donors [FILE ...]

The frame of one kart with each donor, each with its own mass, place of the weight and price, and on each
track at the best of the sprockets listed: lap, start, top speed, shifts, limiter, what it loses for want
of the best ratio; the difference to the kart's own donor, where it arises, what part of it the sprockets
are, how sure it is and what it costs; what 10 kg off the frame, 10 hp, quicker shifts and a higher
limiter are worth.

Power and torque are those at the crank on the day; where a donor's sheet was taken at the wheel, it is
divided by the efficiency of gearbox and chain that the runs use. So are they in the JSON.

  --donors ID[,ID]  donors (default: all)
  --tracks ID[,ID]  tracks (default: the first; 'all')
  --owned, --all    final drives from the sprockets owned, or from all listed (default)
  --line KIND       line the laps drive where the track keeps one: as drawn (default), smoothest, fastest

Examples
  kartwright donors --kart clodlet-four-knobbly --donors single --tracks tansy-hollow
  kartwright donors --kart clodlet-four-asphalt --tracks brindlequag-works --plot
  kartwright donors --tracks tansy-hollow,brindlequag-works,cinder-yard --html donors.html
`,
  balance: `kartwright balance [FILE ...]

Stops with 0 to 100 % of the brake force in front, on loose and on hard ground, with the clutch in and
with the engine braking in each gear: best share, the window in which little is lost, which axle is first
to lock, the setting that serves both grounds and what it costs, bar positions; the pedal held too hard;
braking in a bend; laps. Marks are for the clutch in; how unsure they are and in which gears the rear locks
first at them stands beside them. In JSON best.frontShare of a bend is null where any share does as well.

  --loose ID, --hard ID  the two grounds (default: the loosest and the hardest the tyres know)
  --from SPEED           default 60 km/h
  --gear N               gear that stands for engine braking (default: the one of that speed)
  --within S             what counts as little (default "2 %")
  --tracks ID[,ID]       laps at each share (default: none)
  --line KIND            line they drive where the track keeps one: as drawn (default), smoothest, fastest

Examples
  kartwright balance --kart clodlet-four-knobbly
  kartwright balance --kart clodlet-single-knobbly --from "50 km/h" --gear 2 --tracks tansy-hollow
  kartwright balance --kart clodlet-four-asphalt --html balance.html
`,
  match: `kartwright match LOG [FILE ...]

Sets a log beside the estimate. LOG is a table (CSV, TSV, text; any separator, decimal commas, headers in
several languages) with times and speeds or places, or a GPX recording; every guess about columns and units
is printed, and which columns were not used. Found in it, by rules: rolling out, engine braking, pulls at
full throttle, stops at the limit, laps. First the raw gap, then a fit of only what the log can tell apart,
with intervals. These count how sure the file is of every input not fitted (masses, air, wind), how level the
ground is and how true the logged speeds are, and say which leaves most open; beside them what the log alone
would say. Log on level, straight ground, in calm air, on a closed course; roll out clutch in from high speed
to walking pace, pull at full throttle in the higher gears, stop hard, each several times and both ways.
Where the log has places, runs both ways tell a slope from the kart, and wind cancels.
What lies within laps is no run along a straight; with --track laps are compared by themselves.

  --surface ID    ground of the runs (default: the first the tyres know)
  --track ID      track of the laps, if there are any
  --columns LIST  which column is what, such as "speed=Vel:km/h,time=Stamp:ms"; engine speed in thousands:
                  "engine speed=Revs:rpm x 1000"
  --fit LIST      of drag area, rolling resistance, power, grip, engine drag, brake balance
                  (default: all but the last)
  --accept LIST   values to take over, or all; with
  --write FILE    a new project file with them, each measured, dated, with its spread (inputs counted)
  --date DAY      date written (default: today)
  --level-within G  one standard deviation of the slope of the ground (default "1 %"; measured level: "0 %")
  --speed-within E  one standard deviation of the logger's speeds (default "1 %"; satellite receiver: "0.2 %")
  --seed N        of the refits (default 1)
  --plot          what is left between logged and estimated speed
  --csv           logged, estimated and fitted speeds

Examples
  kartwright match ui/demo/made-up-outing.csv --kart clodlet-four-asphalt --surface asphalt
  kartwright match ui/demo/made-up-outing.csv --kart clodlet-four-asphalt --surface asphalt --fit "drag area,rolling resistance" --plot
  kartwright match ui/demo/made-up-outing.csv --kart clodlet-four-asphalt --surface asphalt --html match.html
`,
  evidence: `kartwright evidence

Runs every outside check through the same path as a builder's kart and prints source, expected, computed,
difference and tolerance. Exit code 3 if one lies outside.

  --json   the rows as one object
  --csv    the rows as columns
`,
};

export function helpFor(verb: string): string | undefined {
  return Object.hasOwn(VERB_HELP, verb) ? VERB_HELP[verb] : undefined;
}
