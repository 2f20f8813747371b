"""Everyday phrases that look like the grammar and are not: they use their words up.

The kind of phrase is common knowledge of English, no source; words that only *sometimes*
mislead carry conditions in `spellings` instead.
"""

from __future__ import annotations

from assetlib.rules.phrases import Rule

_PHRASES = """
high street|streets, high chair|chairs, high school, high heel|heels|heeled, high five|fives, high tide, high noon, high vis,
high voltage, high table|shelf|stool|fence|wall|ceiling|window|tea|sea|seas|wind|winds|tower|bridge|top|tops|speed|end|quality|priest
|jump|note|court, high waisted, high rise, high pile, sky high, knee high, waist high, chest high, ankle high, mile high, junior high

low fat, low table|tables|wall|fence|tide|sun|battery|fuel|light|bench|shelf|ceiling|cloud|clouds|stool|cut|rider|sofa|bridge|budget
|price|prices|key|calorie|carb|sugar|alcohol|voice|water|heat|flame|bed|loader|energy|emission|season|slung, low lying, low down on

right angle|angles|angled, at an angle, angle grinder, angle poise, right away, right hand man, right handed, left handed
left|right hand side|drive|lane|turn|corner|page|door|window|mirror|seat|wheel|column|margin|bend|edge|rail|panel, second hand

wide smile|grin|eyes|eyed|open|awake|brimmed|street|road|river|mouth|mouthed|range|variety|load|legged|screen|eye, wide angle lens
world wide, far and wide, open|opens wide, long shot odds, not by a long shot, long|wide lens

front|back|side|rear door|doors|garden|yard|gate|porch|room|pocket|page|entrance|steps|row|window|windows|wheel|wheels|wall|lawn|
desk|burner|street|alley|lane, shop|store|house|water|sea front, front of house, front|back office
back seat driver|drivers, back of the van, back and forth, back to back, back to work|school|bed|base|front, come|comes|go|goes back

night light|lights|stand|stands|gown|club|clubs|shift|shifts|school|owl|owls|cap|dress|cream|nurse|bus|watchman|guard|porter|table,
good night, last night, tomorrow night, date night, opening night, movie night, night before, overnight, starry night poster
day care, day off, day trip|trips|tripper|trippers, day bed|beds, day dream, day planner, day job, day old, birth day, one day, all day,
every day, some day, day one|two|three|1|2|3|4|5, day by day, day after day, day nursery, day pass, day return, day spa, day to day,
rainy|sunny day fund, the other day, present day, modern day, day of the, days

frying|sauce|baking|bread|roasting|cake|dust|drip|muffin|grill|loaf|saute|oil|bed|hot|milk pan|pans, pan of, pan|pans fried, pots and pans,
pan pipes|flute|lid|handle|rack|pizza|african|am, peter pan, brain pan, the pan on|in, pans on|in
tilt up|up garage|door, head tilt|tilts|tilted, full tilt, tilt shift, tilt head|table|top|tray, tilts|tilt|tilting his|her|their|its,
head|heads|chin|hat|face tilted, tilted head|hat
track suit|suits|pants|record|event|meet|lights|shoes|and field, train|railway|race|tram|animal|bear|rail|dirt|sound|tyre|tire|running|ski track|tracks,
tracks in, track number|ten|10|1|2|3|one, tracking number|code|app|device|information|page, one track mind, on track, keep|keeps|lost track
hand|furniture|parcel|sack dolly|truck, her|rag|little|toy|paper dolly, dolly doll|mixture|parton|bird, dolly of|with|full|loaded, fork lift truck
trucks|truck, delivery truck|trucks, tow truck, fire truck, ice cream truck, pickup truck
static electricity|electric|cling|noise|caravan|line|shock|hiss, radio|tv static
harbour|harbor|construction|dock|tower|paper|origami|gantry|mobile|cargo|crowned|sandhill|bird crane|cranes, crane operator|driver|fly|flies|cab|hook|bird|birds,
crane|cranes|craning his|her|their|its neck|necks, crane|cranes neck|necks, boom box|mic|microphone|pole|operator|town|gate|barrier, sonic boom, baby boom
zoom call|calls|meeting|meetings|lens|chat|link|background|interview|class|window, on zoom, via zoom, over zoom, zooms|zoom|zooming past|by|off|away|around|down,
pinch to zoom, optical zoom
hand held up|out|over|in|by|high|aloft
handheld device|devices|mixer|vacuum|console|scanner|blender|radio|fan|game|drill|gps|torch, hand held device|mixer|vacuum|console|scanner|blender
push|pushes|pushing|pushed in the|a|his|her chair|chairs|drawer|drawers|door|button|stool|plug|pin, push|pushes|pushed back, push button
pull|pulls|pulled|pulling out a|an|the|his|her|their|some|two, pull|pulls|pulled|pulling out of, pull out bed|sofa|couch|drawer|shelf|tray|table|section, pulled|pulls|pull back
the|a|his|her curtain|curtains|hair|cover|blanket|sheet
reverse gear|light|lights|side|parking|charge|sensor|sensors|camera|thrust, in reverse, reverse|reverses|reversing into|out|up|back|down|past, reverse engineer
insert card|cards|coin|coins|key|token|ticket|money|here|tab|disk|name, the|an|paper|magazine|shoe|cardboard|leaflet insert, inserts|insert a|the|his|her
single malt|mother|mothers|father|fathers|parent|parents|file|bed|bedroom|lane|cream|use|origin|ticket|handed|minded|decker|breasted|out, every|not a single,
single rose|loaf|candle|tree|cloud|light|bulb|drop|word|cup|chair
group photo|photos|photograph|chat|therapy|hug|discount|booking|captain|call|ticket, age group, blood group, focus group, rock group
point of sale, selling point, floating point, point of no return
cutaway diagram|model|drawing|illustration|coat|collar|jacket|engine|of, cut away the|a
establishing a|an|the business|trust|that|contact, well establishing
two|three|four shot glass|glasses|latte|espresso|espressos|americano, two|three|double shots of, two|three shots fired, big|mug|head|gun|flu|screen shot, shot glass|glasses|gun|put
dutch oven|ovens|woman|man|girl|boy|cheese|door|doors|bakery|tulips|flag|barn|house|bike|bikes|tourists|courage|gable|gables|master|auction|crunch|baby|cap|uncle, go|going|double dutch
overhead light|lights|lamp|lamps|locker|lockers|bin|bins|compartment|compartments|projector|wires|wire|cables|cable|rack|costs|line|lines|crane|fan|fans|door|rail|pipe|pipes|lighting|press|heater|luggage|sign|signs,
fly|flies|flying|circle|circles|circling|wheel|wheeling|gulls|clouds|stars|planes|birds overhead
dash of|for|across|to|into|out|home, mad|hundred|metre|meter|yard dash, dash to the|for, dot dash, dashes, 100m dash
take|takes|took|taking a? back seat
driving rain|range|licence|license|test|lesson|lessons|school|gloves|snow|wind|instructor|force|ban, hard|flash|usb|thumb|disk|tape|pen drive|drives, drive through|thru|in|way|shaft|belt, test drive,
left|right hand drive, four wheel drive, all wheel drive, drink|drunk driving, charity drive, tree lined drive, wheel drive
walk in|out|through|up, walking stick|sticks|boots|frame|tour|shoes|distance|cane|pole|poles|holiday|route, space walk, cake walk, side walk, walk of fame, cross walk, dog walk park, cat walk
running water|shoes|shoe|late|order|mascara|costs|tap|bath|joke|commentary|machine|mate|track|shorts|vest|club|board|total|stream|jump|hot|cold|nose|gag|low|out|repairs|time|tights|blade|top|gear,
run|runs|ran|running a|an|the|his|her|their bakery|shop|cafe|business|errand|errands|company|stall|ferry|office|household|line|till|bath|tap|museum|inn|pub|boat|show|kitchen|kiosk|stand|place|restaurant|hotel|race@none,
run|runs|ran|running out of, run down, run of, trial run, ski run, school run, home run, bread run, morning run, long running, nose runs|running|run, engine|engines|motor|tap|water|taps|paint|ink|ferry running|runs, up and running,
runs on|from batteries|petrol|diesel|electricity|monday|noon, running|runs|ran his|her fingers|hand|hands|finger|thumb|eye|eyes, runs a hand|finger|thumb|comb
standing lamp|lamps|desk|desks|ovation|order|stone|stones|room|mixer|clock|mirror|joke|army|invitation|charge|water, free|long standing, news|fruit|taxi|market|bike|hat|cake|music|flower|newspaper|coat|umbrella|hot|food|display|plant|mic|microphone|hotdog|lemonade|night|bus|band|grand|test stand|stands, stands for|out, stand|stands|standing by|up|mixer
sitting room|rooms|duck|ducks|target|tenant, sat nav|navs|phone|navigation, sit|sits|sitting up|ups|com, baby sitting|sitter|sits, house sitting, sits on the market
lean meat|bacon|to|mince|cut|beef|ham|protein, leaning tower, leans towards? the right|left politically
lying to|about|politician, white|tell|tells|telling|told lies|lie, low lying, lie|lies detector|to|about, lie in bed
baby carrot|carrots|grand|monitor|blue|shower|powder|food|spinach|wipes|bottle|bottles|clothes|pink|oil|carriage|stroller|seat|bump|gate|corn|potatoes|tomatoes|leaves|shampoo|boom|boomer|boomers|carrier|sling|doll
kid|kids glove|gloves|leather|menu|meal, kid|child proof, child|childs|childrens|kids seat|seats|lock|locks|menu|book|books|drawing|drawings|support|benefit|ticket|fare|toy|toys|bike|shoes|bicycle, boy|girl friend|band|scout|racer, pin up girl,
adult education|ticket|tickets|fare|fares|content|size|learning|film|movie|beverage|swim|diapers|section|class|classes, grown up, act your age, cover|golden boy|girl
granny smith|smiths|flat|knot, grandfather clock|clocks, old friend|friends|school|fashioned, senior manager|year|partner|editor|discount|executive, nan bread
flat white|whites|tyre|tyres|tire|tires|cap|caps|screen|bread|breads|roof|battery|iron|pack|shoes|fish|top|line|share|footed|land|out|beer|stone|bed|tin|box|rock|calm, flat in, lies|lying|lay|falls flat, block of flats, the|a|our|council|top flat, pitch and? flat
tone of voice|of, dial|ring|skin|two|busy|muscle|under|warm|earth tone|tones, tone deaf|arm, well|sun toned
hair|skin|eye|primary|wall|paint|local|favourite|favorite|team|water colour|color|colours|colors, colour|color of|chart|wheel|printer|blind|swatch|swatches|pencil|pencils|scheme|guard|code|palette|party|run|film|television|tv|picker|bar, colouring|coloring book
rough sea|seas|road|roads|hands|skin|wood|stone|night|day|draft|terrain|beard|patch|ground|sleeper|sleepers|estimate|idea|edge|edges|diamond|surface|water|waters|weather|wall|bark|crossing|and tumble|cut|sleeping, diamond in the rough
clean lines of, with clean lines, line of, clean shirt|apron
profile picture|pictures|photo|page|pic|pics|image|photograph, user|low|high|dating|social|customer|online|company|tyre|linkedin|job|personality profile|profiles, profile of the|a company|business|suspect
interior designer|designers|design|decorator|decoration|decorating|minister|ministry|monologue|light|lights, exterior paint|cladding, department of the interior, ext|extension number|call|lead
two|three point turn|turns|conversion|stance|lead|lighting|plan|five|0|five|seat|bend|harness|belt|plug|socket|line|shot, two|three|five|ten pointer, one point of|lead|in, point of
side mirror|mirrors|street|streets|salad|dish|order|effect|effects|table|show|step|kick|view mirror|mirrors, side by side, rear view mirror|mirrors, rearview mirror|mirrors
hood of, cooker|range|extractor hood|hoods, hood up|down|over|ornament, bonnet of|string, robin hood, red riding hood, the hood on|up|over|pulled
from above|below the waist|knee|knees|neck, from behind a|the|his|her|some? counter|curtain|curtains|wheel|door|tree|cloud|clouds|bar|desk|wall|corner|hedge|fence|pillar|newspaper|till|stall|sofa|menu|glass
face to face, on the face of it, face front@none
passenger list|seat@none lounge|ship, passenger ferry|train
a couple of days|weeks|hours|minutes|times|loaves|cups|bags|things|rolls|coins|steps|seconds|years|months|inches
crowd funding|fund|pleaser|control|source|sourced|surfing, crowded house
close up shop, closes|close up the, close by|call|quarters|friends|friend|range|knit|relatives|down|to, get|gets|getting close up, close up and personal
tight rope|lipped|fisted|budget|schedule|knot|lid|grip|jeans|lipped|fit|squeeze
medium rare|sized|size|roast|height|build|length|format|heat|brown|fat, psychic medium, happy medium, mid day|week|air|life|morning|century|term|way
full length mirror|mirrors|coat|coats|dress|curtain|curtains|gown, full body scan|scanner|massage|wetsuit, full figure bra
talking to camera, camera shop|store|bag|phone|shutter|strap|app|roll|crew|operator|flash|on a tripod, security|speed|web|digital|toy camera|cameras
head|heads on a plate, head on collision
"""

TRAPS: tuple[Rule, ...] = (Rule("", "", _PHRASES),)
