"""The usual spellings of the shot and drawing grammar, and what must stand around them.

Read by `phrases.compile_rules`. Abbreviations are common practice of camera departments,
no source; the conditions were tuned on tests/rules/shot_lines.tsv and on lines like them.
"""

from __future__ import annotations

from assetlib.rules.phrases import Rule

LISTS: dict[str, frozenset[str]] = {
    name: frozenset(words.split())
    for name, words in {
        "det": "a an the his her their its our my your this that these those some each every",
        "end": "$",
        "prep": "of on to from over with as at by across along alongside into onto towards toward through past"
        " around in for and then while behind under up down left right out between beside near off following"
        " follows onto inside outside before after but so until where via",
        "shot": "shot shots angle angles view views frame framing camera cam lens pov coverage position setup"
        " composition perspective",
        "size": "ecu xcu bcu cu mcu ms mws mls fs ws ls ews els wide medium close closeup closeups tight mid long"
        " full ots two 2 2s three single pov o/s",
        "slow": "slow slowly quick quickly fast gentle subtle whip swish snap crash smash long short continuous"
        " smooth sudden hard soft lateral steady slight rapid creeping big small tiny little dramatic then and we"
        " camera cam to with into plus start begin end starts begins ends in ext int day night a",
        "camera": "camera cam lens",
        "number": "one two three four five six seven eight nine ten 1 2 3 4 5 6 7 8 9 10",
        "person": "person persons people man men woman women boy boys girl girls kid kids child children baby"
        " babies infant toddler toddlers teen teens teenager teenagers youth youths adult adults lady ladies guy"
        " guys gentleman gentlemen fellow bloke couple couples pair trio crowd crowds family families friend"
        " friends father fathers mother mothers dad dads mum mums mom moms parent parents son sons daughter"
        " daughters brother brothers sister sisters uncle aunt grandmother grandmothers grandfather grandfathers"
        " grandma grandpa granny grandad granddad grandparent grandparents grandson granddaughter grandchild"
        " grandchildren twin twins triplets baker bakers driver drivers passenger passengers commuter commuters"
        " skipper captain captains sailor sailors fisherman fishermen fisherwoman deckhand deckhands crew crewman"
        " crewmen ferryman cashier cashiers barista baristas waiter waiters waitress waitresses chef chefs cook"
        " cooks customer customers shopper shoppers pedestrian pedestrians cyclist cyclists runner runners jogger"
        " joggers walker walkers tourist tourists traveller travellers traveler travelers hiker hikers student"
        " students pupil pupils schoolboy schoolboys schoolgirl schoolgirls schoolchild schoolchildren schoolkids"
        " teacher teachers nurse nurses doctor doctors patient patients worker workers workman workmen colleague"
        " colleagues coworker coworkers businessman businessmen businesswoman businesswomen farmer farmers"
        " gardener gardeners postman postwoman courier couriers deliveryman officer officers policeman policemen"
        " policewoman cop cops guard guards soldier soldiers firefighter firefighters fireman firemen musician"
        " musicians singer singers dancer dancers actor actors actress model models player players swimmer"
        " swimmers surfer surfers skater skaters rider riders artist artists painter painters builder builders"
        " mechanic mechanics engineer engineers inspector inspectors conductor conductors attendant attendants"
        " clerk clerks seller sellers vendor vendors shopkeeper shopkeepers stallholder fishmonger florist"
        " butcher hairdresser barber pensioner pensioners senior seniors elder elders stranger strangers"
        " neighbour neighbours neighbor neighbors host hosts guest guests bride groom lover lovers figure figures"
        " silhouette silhouettes hero heroine character characters talent extra extras bystander bystanders"
        " onlooker onlookers spectator spectators fan fans lad lads lass adolescent adolescents somebody someone"
        " everyone everybody individual individuals assistant assistants apprentice apprentices boss manager"
        " owner owners photographer photographers reporter reporters wife wives husband husbands girlfriend"
        " boyfriend partner partners he she they we who both islander islanders docker dockers technician"
        " technicians labourer labourers porter porters steward stewards stewardess hostess team queue",
        "animal": "dog dogs puppy puppies cat cats kitten kittens horse horses cow cows sheep goat goats gull"
        " gulls seagull seagulls bird birds fox foxes rabbit rabbits mouse hen hens",
        "thing": "phone phones book books loaf loaves box boxes cup cups bottle bottles glass bowl bowls plate"
        " plates bag bags basket house houses church building buildings tower towers lamp lamps statue statues"
        " tree trees chair chairs table tables ladder ladders bike bikes bicycle bicycles broom brooms road path"
        " track river stream water tap taps faucet engine motor motors paint ink mascara nose line lines credits"
        " film clock time bath sink city town village harbour harbor island lighthouse shop store laptop laptops"
        " tablet letter newspaper map key keys coat hat umbrella rope ropes wire wires fence wall pole post sign"
        " truth paper cake bread dough stove kettle pot pan machine battery fridge ferry boat boats ship suitcase"
        " tears blood sweat colour color dye stocking tights parcel parcels package crate crates tray trays board"
        " mast gate bridge column pillar vase candle television tv radio generator meter program programme app",
        "role": "driver passenger baker couple man woman crowd boy girl kid child kids figure two him her them"
        " us skipper commuter commuters children family character hero barista cyclist rider guard captain"
        " bakers men women people audience",
        "kitchen": "oven stove baking baker's bakes flour dough loaf loaves buns tray cake bread fry fries fried"
        " saucepan skillet hob butter eggs egg bacon onion onions pots sauce rinse wash scrub greased tin",
        "dockside": "lifting lifts lift container containers cargo construction origami paper harbour harbor bird"
        " birds lake marsh heron site crate crates unloading unload swinging hook neck port dockyard wading",
    }.items()
}
LISTS["people"] = LISTS["person"] | LISTS["animal"]

SHOT_SIZE = (
    Rule("shot_size", "ECU", "ecu|ecus|xcu|bcu|e.c.u.|x.c.u.", not_after="module unit wiring connector remap tuning"
         " map pirates campus university fault firmware"),
    Rule("shot_size", "ECU", "extreme|big|extremely|ultra|super|very|x close|closeup|closeups|cu,"
         " extreme|big|extremely|ultra|super|very close up|ups|shot, macro shot|closeup, macro close up"),
    Rule("shot_size", "MCU", "mcu|mcus|m.c.u., med|medium|mid|m closeup|closeups|cu, med|medium|mid close up|ups|shot,"
         " medium close, head and shoulders shot?, bust shot", not_after="film movie universe"),
    Rule("shot_size", "CU", "cu|cus|c/u|c.u.|tcu, tight? closeup|closeups, tight? close ups, tight? close shot,"
         " choker shot?",
         not_after="boulder denver anschutz springs buffs buffaloes campus university students student's alumni"
         " football boulders grad hoodie wire ft feet in m metre meter later next ya soon nim chulainn necklace",
         not_before="at attends attended from"),
    Rule("shot_size", "CU", "tight? close up", where="start beside alone", after="of on shot: $ @det @prep @person"
         " detail hand hands face phone", not_after="shop the", not_before="get gets getting shops close closes"),
    Rule("shot_size", "CU", "close up on|of", before="a the in to $ and @slow", where="start beside"),
    Rule("shot_size", "CU", "close|tight on|in", where="start beside", before="we go goes cut to then and hold camera"
         " come comes start end stay stays", not_after="sunday monday tuesday wednesday thursday friday saturday"),
    Rule("shot_size", "CU", "tight, close", where="beside", not_after="lid fit fitting jeans to by up the"),
    Rule("shot_size", "CU", "close|tight", where="", after="single ots pov insert two-shot profile"),
    Rule("shot_size", "CU", "tight shot|shots|frame|framing|angle|view, close view|frame|framing|angle,"
         " tight single > x, detail shot"),
    Rule("shot_size", "MS", "ms|m/s|m.s.|msh", where="", not_after="excel word office windows paint teams access outlook"
         " powerpoint dos project degree patient patients diagnosis society symptoms in thesis 365 office365"
         " publisher edge nurse", not_before="has have had with microsoft an for her his of having"),
    Rule("shot_size", "MS", "med|medium|mid shot|shots|angle|view|frame|framing, midshot|midshots, medshot, waist shot"),
    Rule("shot_size", "MS", "med|medium|mid", where="", after="two 2 2s three 3 3s ots over single pov group profile"),
    Rule("shot_size", "MS", "medium|mid on|of", where="start"),
    Rule("shot_size", "MS", "medium|mid", where="alone beside", not_after="rare sized size height well brown"),
    Rule("shot_size", "MWS", "mws|mls|m.w.s.|m.l.s.|mfs, med|medium|mid wide|long|full, med|medium|mid wide|long|full"
         " shot|shots|angle|view, cowboy|american shot, knee shot", not_after="haired hair game soccer cup listing"
         " match team jersey sleeved sleeve range term distance roast brown"),
    Rule("shot_size", "FS", "fs|f/s|f.s.", not_after="@number 12 2020 2004 95 98 x"),
    Rule("shot_size", "FS", "fs", after="two three four five", not_after=""),
    Rule("shot_size", "FS", "full shot|shots, full figure|body|length shot|view|of|on|framing, head to toe|toes shot?"),
    Rule("shot_size", "FS", "full figure|length|body", where="alone beside start", after="@person",
         not_after="mirror coat dress curtain curtains wetsuit scan gown skirt massage novel"),
    Rule("shot_size", "EWS", "ews|els|xws|xls|vws|vls|e.w.s.|e.l.s., extreme|extremely|very|super|ultra|big|extra|huge"
         " wide|long, extreme|extremely|very|super|ultra|big|extra|huge wide|long shot|shots|angle|view",
         not_after="smile grin grins eyes lens road street river door range file spreadsheet hair coat beard scarf"
         " queue line table day night journey way time legs stairs list"),
    Rule("shot_size", "WS", "ws|l.s.|w.s.|w/s|ls|l/s"),
    Rule("shot_size", "WS", "wide shot|shots|angle|view|frame|framing, wide establishing|master, wideshot,"
         " nice and wide, wide angle shot|view|of|on", not_after="lens"),
    Rule("shot_size", "WS", "long shot|shots", not_before="a by", where=""),
    Rule("shot_size", "WS", "long shot|shots", after="of on from"),
    Rule("shot_size", "WS", "wide", after="two 2 2s three 3 3s ots over group high low establishing static pov exterior"
         " interior ext int tracking aerial profile reverse single"),
    Rule("shot_size", "WS", "wide on|of|from|over|across|through|to", where="start beside", before="go goes to a stay"
         " cut slow then static locked off in the"),
    Rule("shot_size", "WS", "wide", where="alone beside", before="off static locked handheld angle go goes stay stays"
         " in", not_after="open eyed awake smile grin eyes brimmed brim legged enough apart range variety load"
         " street road river mouth door doors"),
    Rule("shot_size", "product shot", "product|pack shot|shots, packshot|packshots, product end frame, pack|product"
         " beauty", not_after="list"),
)

SHOT_TYPE = (
    Rule("shot_type", "two-shot", "two|2 shot, 2shot, 2s, 2/s, twoshot, two|2 shots, 50 / 50 shot",
         not_after="glass glasses latte espresso espressos fired of ring cortado vodka vodkas whisky americano",
         not_before="fires fired"),
    Rule("shot_type", "three-shot", "three|3 shot, 3shot, 3s, threeshot, three|3 shots",
         not_after="glass glasses latte espresso espressos fired of ring cortado vodka vodkas whisky"),
    Rule("shot_type", "two-shot", "two|2 shot of", where="start beside", not_after="espresso whisky vodka tequila rum"),
    Rule("shot_type", "three-shot", "three|3 shot of", where="start beside", not_after="espresso whisky vodka"),
    Rule("shot_type", "over the shoulder", "ots|otss|o/s|oss, over shoulder shot|view|angle|of|on|onto",
         not_after="voice vo voices sound dialogue dialog screams music shelf"),
    Rule("shot_type", "over the shoulder", "over the|a|one? shoulder|shoulders shot|view|angle|coverage|framing|single"),
    Rule("shot_type", "over the shoulder", "over the|his|her|their|your|a|one|our? shoulder|shoulders,"
         " over the|a? @person shoulder|shoulders", where="start beside", before="@shot @size clean dirty reverse"
         " looking@none a an the from seen we day night", not_after="bag bags strap purse tote satchel"),
    Rule("shot_type", "over the shoulder", "over the|a? drivers|bakers|passengers|womans|mans|boys|girls|skippers|"
         "captains|baristas|cashiers|customers|commuters|kids|childs|cyclists|mothers|fathers|chefs|artists|waiters|"
         "riders shoulder|shoulders", where="start beside", before="@shot @size dirty reverse from seen we look looking"
         " view"),
    Rule("shot_type", "point of view", "pov|povs|p.o.v., point of view|vieuw shot?, subjective camera|shot|view",
         not_before="my political opposing different another alternative opposite moral", not_after="essay article"),
    Rule("shot_type", "single", "single", where="alone beside", before="clean dirty tight medium wide close matching",
         after="on shot", not_after="malt mother mothers file bed bedroom loaf rose parent dad mum mom lane currency"
         " use cream ticket serving piece candle origin estate red sheet, person woman man", not_before="every a-"),
    Rule("shot_type", "single", "single of", where="start beside"),
    Rule("shot_type", "single", "singles", where="alone beside", after="on of"),
    Rule("shot_type", "group", "group shot|shots"),
    Rule("shot_type", "group", "group", only=False, where="alone beside", not_after="photo photos chat therapy captain"
         " call hug booking ticket"),
    Rule("shot_type", "reverse", "reverse|reversed shot|angle|angles|view|ots|pov|cu|mcu|ms|ws|mws|two|single|coverage|"
         "wide|close|medium|over"),
    Rule("shot_type", "reverse", "reverse, reverses", where="alone", before="the matching then", after="on",
         not_after="gear light lights side parking camera sensor sensors into out"),
    Rule("shot_type", "reverse", "reverse", where="beside", after="of", not_after="gear light lights into out parking"
         " sensor sensors the-", not_before="in van car truck the"),
    Rule("shot_type", "insert", "insert|inserts shot|shots|cu|ecu|close|of|on|closeup, cut to insert"),
    Rule("shot_type", "insert", "insert, inserts", where="alone beside", not_after="coin coins card cards key into here"
         " the a your"),
    Rule("shot_type", "insert", "insert", where="start", not_after="coin coins card cards key token money ticket disc"
         " disk usb sim battery batteries plug tab the a your his her here needle into name text image caption"),
    Rule("shot_type", "cutaway", "cutaway|cutaways|c/a", not_after="diagram drawing model illustration engine coat"
         " collar section of@none jacket tails dress"),
    Rule("shot_type", "cutaway", "cut away|aways", after="to shot of $ on", where="start"),
    Rule("shot_type", "establishing", "establishing shot|shots|wide|ws|ews|view|angle|frame|exterior|ext|int|interior|"
         "pan|crane|aerial|drone|scene, establisher, est shot|ws|wide, master establishing"),
    Rule("shot_type", "establishing", "establishing", where="alone beside start", before="wide ws ews opening quick",
         not_after="a an that contact business trust herself himself itself themselves their her his"),
)

CAMERA_ANGLE = (
    Rule("camera_angle", "eye level", "eye|eyes level|height|line height? shot?, eyelevel, at eye level",
         not_after="shelf shelves cabinet mirror"),
    Rule("camera_angle", "low", "low|lo angle|angles|angled|camera|shot|pov|position|viewpoint|perspective|vantage,"
         " camera|angle|shot|shoot|lens low, low down camera, up angle, from low down?, low and wide, low wide|close|"
         "tracking|static|handheld|dolly", not_after="sun sunlight light lighting grinder down@none"),
    Rule("camera_angle", "low", "l/a, low", where="beside alone", not_after="fat tide table wall battery sun key light fence"
         " ceiling bench stool chair clouds cloud blood-", not_before="the a with fuel"),
    Rule("camera_angle", "low", "camera? looking|looks|look|shooting|shot up at|from|past", where="",
         before="camera angle shot cam", not_before="he she man woman boy girl"),
    Rule("camera_angle", "high", "high|hi angle|angles|angled|camera|shot|pov|position|viewpoint|perspective|vantage,"
         " camera|angle|shot|lens high|highup, down angle|shot, downshot, from high up, from a height, high and wide,"
         " high wide|static|tracking|crane", not_after="sun grinder"),
    Rule("camera_angle", "high", "h/a, high", where="beside alone", not_after="street chair heels tide wall school five noon"
         " fence table stool shelf bench ceiling window winds street's vis", not_before="the a"),
    Rule("camera_angle", "high", "looking|looks|shooting|shot down on|at|onto|from|over|into", before="camera angle cam",
         not_before="he she"),
    Rule("camera_angle", "overhead", "bird|birds eye view|shot|angle|perspective|pov?, birdseye view|shot?, top shot|shots|"
         "topshot, top down view|shot|angle?, gods? eye view|shot, straight|directly down shot|view|on|at|onto?,"
         " from directly|straight|right overhead|above, topdown, plan view, aerial plan",
         not_after="chilli chillies chili maple peas frozen", not_before="to the"),
    Rule("camera_angle", "overhead", "overhead", before="camera angle shot frame from directly straight static locked"
         " slow high ws cu", after="of shot shots view angle angles camera looking on pov close cu wide ws tracking"
         " down frame static insert position", where="alone beside start", not_after="light lights lamp lamps lighting"
         " compartment compartments locker lockers bin bins projector rack racks wire wires cable cables line lines"
         " costs cost crane door doors fan pipes pipe press signs sign kick speaker speakers heater strip bulb shelf"
         " luggage console throw panel gantry walkway bridge gulls birds planes"),
    Rule("camera_angle", "worm's eye", "worm|worms eye view|shot|angle|perspective|pov?, wormseye view?"),
    Rule("camera_angle", "dutch", "dutch angle|angles|angled|tilt|tilted|shot|frame|camera|cam|framing|view|cu|ws|ms|mcu"
         "|close|wide|ots|low|high, dutched, canted angle|shot|frame|camera|framing?, tilted frame|camera|angle|horizon,"
         " german angle, camera|frame tilted, batman angle, oblique angle"),
    Rule("camera_angle", "dutch", "dutch", where="alone beside", before="slight slightly", not_after="oven ovens woman man"
         " cheese door bakery tulips flag girl barn house bike tourists couple master courage gable gables colour"
         " the street canal windmill barge"),
)

CAMERA_POSITION = (
    Rule("camera_position", "hood mount", "hood|bonnet mount|mounts|mounted|cam|camera|rig|shot|pov, hoodmount,"
         " bonnetmount, mounted on the? hood|bonnet, camera|cam|rig on the? hood|bonnet, from the? hood|bonnet"
         " looking|in|through|into|back|towards|toward, on the? hood|bonnet camera", only=False,
         not_before="cooker range kitchen extractor stove oven jacket", not_after="ornament light fan extractor badge"),
    Rule("camera_position", "side mount", "side|door mount|mounts|mounted camera|cam|rig|shot?, hostess tray,"
         " camera|cam|rig on the? side|door, car side mount, sidemount", only=False,
         not_before="monitor tv screen bracket", not_after="mirror mirrors bracket light lights toilet brackets rack"
         " flag handle ladder fridge winch"),
    Rule("camera_position", "dash", "dash|dashboard mount|mounts|mounted|cam|camera|shot|view|pov|rig|angle, dashcam,"
         " on|from|over|across|behind|under|above|below|along|off the|his|her? dash, the|his|her|van|car|truck dash,"
         " camera|cam on dash, dash board", only=False, not_after="of for to across into along at through"),
    Rule("camera_position", "dash", "dash", only=False, where="alone beside", not_after="of for to across"),
    Rule("camera_position", "dash", "dashboard|dashboards|fascia", only=False, not_before="analytics sales data"
         " software web app online admin digital@none", not_after="app page chart charts widget metrics login of@none",
         not_near="analytics kpi metrics software website browser spreadsheet"),
    Rule("camera_position", "driver's seat", "driver|drivers|driving seat", only=False),
    Rule("camera_position", "front passenger", "front passenger|passengers seat?, passenger|passengers front? seat,"
         " front seat passenger, riding shotgun, shotgun seat", only=False, not_before="rear back", not_near=""),
    Rule("camera_position", "back seat", "back|rear seat|seats|bench, backseat, rear passenger seat|seats", only=False,
         not_after="driver drivers to"),
    Rule("", "", "take|takes|took|taking a? back seat, back seat driver|drivers, backseat driver"),
)

CAMERA_MOVE = (
    Rule("camera_move", "static", "static|statics", not_after="electricity electric cling noise line charge caravan"
         " shock balloon interference hair crackle crackles hiss on-", not_before="tv radio of television white with"
         " full screen through line phone"),
    Rule("camera_move", "static", "locked off|down|lockedoff camera|shot|frame?, lock off, fixed|stationary|still camera"
         "|shot|frame, camera is? still|static|fixed|holds, on sticks, lockoff",
         not_before="door gate doors is are van car house shop gates"),
    Rule("camera_move", "pan", "whip|swish|snap|crash|slow|quick|fast|gentle|camera|we|cam pan|pans|panning|panned,"
         " whippan, pan|pans|panning left|right|across|along|around|round|with|up|down|follow|following|shot, pan and|&"
         " tilt|scan|zoom, pan|pans|panning to|from|over|onto the? left|right?, panning shot?, panoramic pan",
         not_before="frying sauce baking bread roasting cake saute hot pots dust bed oil drip muffin grill loaf",
         not_near="@kitchen"),
    Rule("camera_move", "pan", "pan|pans l>r|r>l|left|right|across, slow|whip|swish pan, camera pans|panning"),
    Rule("camera_move", "pan", "pan, pans", where="alone beside", before="180 360 degree then and slow a-", not_near="@kitchen",
         not_after="of handle lid rack fried flute pipes pizza", not_before="the frying baking"),
    Rule("camera_move", "tilt", "tilt|tilts|tilting up|down|upward|upwards|downward|downwards|from|to|shot|over|off,"
         " camera|slow|we|quick|slowly|gentle|cam tilt|tilts|tilting", not_after="garage door doors back bed chair"
         " window cap hat seat desk steering", not_before="head heads chin hat full chair he she screen bed"),
    Rule("camera_move", "tilt", "tilt, tilts", where="alone beside", not_after="his her their the shift up-", not_before=
         "head full"),
    Rule("camera_move", "dolly", "dolly|dollies|dollying|dolly's in|out|left|right|back|forward|forwards|across|along|"
         "alongside|with|past|shot|move|towards|toward|through|around|down|up|zoom?, camera|slow|we|cam dolly|dollies|"
         "dollying, dolly track", not_after="boxes crates cart grip", not_before="her hand furniture the-"),
    Rule("camera_move", "dolly", "dolly", where="alone beside", before="then and slow", not_after="doll with of"),
    Rule("camera_move", "dolly", "tracking|track|tracks|trackingshot shot|left|right|with|alongside|in|out|back|backward|"
         "backwards|forward|along|past|l>r|r>l, tracking, trackingshot, camera|we|slow|slowly|cam track|tracks|tracking,"
         " track behind|through|around|across|over", not_before="train railway race tyre tire animal ski tram bear"
         " rail on-the bus fast sound fox animal's the in-", not_after="number code app suit record event meet details"
         " field order parcel package parcels device snow mud shoes pants light"),
    Rule("camera_move", "dolly", "track", where="alone beside", not_after="suit record meet event shoes"),
    Rule("camera_move", "dolly", "truck|trucks|trucking left|right|shot|in|out|alongside|with, camera trucks|truck",
         where="alone start beside", before="camera we slow then and", not_after="the traffic"),
    Rule("camera_move", "dolly", "travelling|traveling|lateral shot|move, slider shot|move|left|right"),
    Rule("camera_move", "push in", "push|pushing|pushed|creep|creeping in|into|inwards, camera|we|slowly|slow|cam"
         " push|pushes|pushing|creeps|creep|creeping|moves in|into|on|towards|toward|to?, pushin, a|slow|gentle push in|on|"
         "into, move in on|to|slowly, moves in on", not_after="chair chairs door drawer pin button crowd seat clip plug"
         " bed stool cart trolley", where="", not_before="he she they baker man woman boy girl bakers shoppers people"
         " commuters crowd"),
    Rule("camera_move", "push in", "pushes|pushing in|into", after="on to toward towards slowly close $ tight past over as"
         " until from", not_before="he she they @person"),
    Rule("camera_move", "pull out", "pull|pulling|camera|we|slow|slowly|then|and pull|pulls|pulling out|back|away,"
         " pullback|pullout, slow|slowly|camera|gentle pull, pull|pulling|pulls out|back|away to|wide|slowly|shot|from|and,"
         " widen|widens|widening out|to, camera|we widens|widen, pull|pulls|pulling back reveal", where="",
         not_after="bed sofa drawer shelf couch chair phone phones curtain curtains gun map wallet card keys knife tray"
         " loaf bread hair sleeve kerb curb garage driveway drive station parking car cover sheet blanket harbour dock"
         " quay pier traffic", not_before="he she they van car truck bus taxi train ferry boat @person to-"),
    Rule("camera_move", "pull out", "pull out|back", where="alone beside", before="then and slow"),
    Rule("camera_move", "crane", "crane|cranes|craning|boom|booms|booming|jib|jibs|jibbing up|down|over|shot|move|in|out|"
         "left|right|back, camera|we|slow|cam crane|cranes|boom|booms|jib|jibs, techno crane?, technocrane",
         not_before="harbour harbor dock construction tower the-big sonic sail origami paper gantry cargo baby",
         not_after="to see see operator pole mic microphone box crate crates cargo containers container"),
    Rule("camera_move", "crane", "crane, jib", where="alone beside", not_near="@dockside", not_after="operator cab driver"
         " hook lifts lifting fly flies in"),
    Rule("camera_move", "zoom", "zoom|zooms|zooming|zoomed in|out|into|on|onto|to|toward|towards|through|back|shot,"
         " crash|slow|snap|fast|quick|whip|camera|we|slowly|dolly|smash zoom|zooms|zooming, contra zoom", not_after=
         "call meeting chat link bed", not_before="on to- bee car motorbike a-"),
    Rule("camera_move", "zoom", "dolly|contra zoom, vertigo effect"),
    Rule("camera_move", "zoom", "zoom", where="alone beside", not_after="call calls meeting meetings chat lens link"
         " background interview class window screen past by off away lesson", not_before="on via over a"),
    Rule("camera_move", "handheld", "handheld|h/h|hh camera|shot|cam?, hand held camera|shot|cam", not_after="device devices"
         " mixer vacuum console scanner blender mirror game radio fan drill torch computer phone microphone steamer"
         " reader shower gps printer unit whisk recorder sign signs flag receiver megaphone massager hoover terminal"
         " sander torch lamp lantern labeller sewing saw gamepad", not_before="his her their your my"),
    Rule("camera_move", "handheld", "hand held", where="alone beside start", before="all shaky", not_after="up out over in by"
         " high tight against to aloft under down mirror"),
    Rule("camera_move", "handheld", "shaky cam, shakycam"),
)

SETTING = (
    Rule("setting", "INT|EXT", "int/ext, i/e, interior / exterior, exterior / interior, e/i"),
    Rule("setting", "INT", "int, int."),
    Rule("setting", "EXT", "ext", not_before="call phone tel telephone dial"),
    Rule("setting", "INT", "interior|interiors", only=False, not_after="designer designers design decorator decorators"
         " decoration minister ministry angle angles monologue paint wall-paint", not_before="the-department"),
    Rule("setting", "EXT", "exterior|exteriors", only=False, not_after="paint angle wall-paint emulsion filler"),
)

TIME = (
    Rule("time", "night", "night", only=False, not_after="light lights stand stands gown gowns club shift shifts school"
         " owl owls cap dress cream nurse bus table tables watchman guard porter life terror terrors vision shade"
         " crawler mare before out fever course classes class clothes lamp lights safe duty manager bag",
         not_before="good last opening date movie film game wedding bonfire quiz twelfth per each every a- first"
         " one another tonight parents curry sleepless games karaoke poker election hen stag"),
    Rule("time", "night", "night time?, nighttime, nightfall, night for night, day for night, middle of the night,"
         " late at night, at|by night, midnight, night exterior|interior|ext|int|shot|scene|street", only=False,
         not_after="light lights stand snack feast blue shift bus owl owls watchman clothes"),
    Rule("time", "day", "day", only=False, where="alone", before="int ext sunny bright rainy grey gray overcast cloudy windy"
         " hot cold summer summers winter winters autumn spring foggy snowy clear stormy warm misty drizzly hazy crisp"
         " dull wet by broad blazing glorious beautiful int/ext i/e interior exterior brilliant market@none during"
         " same next", after="int ext exterior interior wide shot scene", not_after="care trip trips bed off planner dream job"
         " old nursery pass ticket return spa centre center labourer out glo boat", not_before="birth"),
    Rule("time", "day", "day", only=False, where="beside", not_after="care trip trips bed off planner dream job old nursery"
         " pass ticket tickets return spa centre center labourer out boat cream by one two three 1 2 3 4 5 after in"),
    Rule("time", "day", "daytime, day time, daylight, broad daylight, during the day, by day, in the daytime, midday, noon"
         , only=False, not_before="high", not_after="bulb bulbs saving savings robbery lamp tv television"),
)

SCREEN_DIRECTION = (
    Rule("screen_direction", "left to right", "l>r, l to r, ltor, ltr, screen|frame|camera|cam? left to screen|frame|camera|cam? right,"
         " left right movement, heading|moving|travelling|traveling|running|walking|driving|going|moves|travels|heads|"
         "drives|walks|runs|crossing|crosses screen|frame|camera right", not_before="books read reads written"),
    Rule("screen_direction", "right to left", "r>l, r to l, rtol, rtl, screen|frame|camera|cam? right to screen|frame|camera|cam? left,"
         " heading|moving|travelling|traveling|running|walking|driving|going|moves|travels|heads|drives|walks|runs|"
         "crossing|crosses screen|frame|camera left", not_before="read reads written"),
    Rule("screen_direction", "toward camera", "toward|towards the? camera|cam|lens|viewer|us, straight? at|into the? camera|lens,"
         " approaching|approaches|approach the? camera|cam|lens|us, to the? camera", not_before="talking talks talk speaks"
         " speaking looking looks look smiles smiling smile plays points pointing point stares staring turned turns wink winks"
         " back backs close next waves waving wave nods up shouts glances glancing grins laughing sings",
         before="", not_near=""),
    Rule("screen_direction", "away from camera", "away|off from the? camera|cam|lens|viewer|us", not_before="looking"
         " looks look facing faces turned turns turning keep stay"),
    Rule("", "", "look|looks|looking|talks|talking|talk|speaks|speaking|smiles|smiling|stares|staring|points|pointing|turns|"
         "turned|waves|waving|winks|nods|glances|shouts|plays|sings to|at|into|directly|straight|towards|toward to|at|into|"
         "towards|toward? the? camera|lens|us|viewer, look|looks|looking|turned|turns|turning|facing|faces away from the?"
         " camera|lens|us"),
)

VIEW = (
    Rule("view", "three-quarter front", "three|3 quarter|quarters front|frontal view|angle?, 3/4 front|frontal view|angle?,"
         " front|frontal 3/4 view|angle?, front|frontal three|3 quarter|quarters view|angle?, 3/4 view|angle|pose|face|turn|profile,"
         " three|3 quarter|quarters view|angle|pose|face|turn|profile, 3/4 from the? front, three quarter from the? front,"
         " 34 front, 3/4 fr"),
    Rule("view", "three-quarter front", "3/4, three quarter|quarters", where="alone beside",
         not_after="length sleeve sleeves inch cup time full cups"),
    Rule("view", "three-quarter back", "three|3 quarter|quarters back|rear|behind view|angle?, 3/4 back|rear|behind view|angle?,"
         " back|rear 3/4 view|angle?, back|rear three|3 quarter|quarters view|angle?, 3/4 from the? behind|back|rear,"
         " three|3 quarter|quarters view? from the? behind|back|rear, 3/4 view|angle from the? behind|back|rear"),
    Rule("view", "front", "front|frontal view|angle|elevation|face|shot|pose|pov@none, front|face|head on, frontal|frontally,"
         " from the? front, straight on, fullface, facing|faces|face the? camera|cam|lens|us|viewer|forward|front, viewed|seen from"
         " the? front, full face, headon", not_after="of the-house door desk row collision seat passenger garden lobe"
         " porch steps", not_before="in sea ocean water harbour the- 3/4"),
    Rule("view", "profile", "profile|profiles, in profile", only=False, not_after="picture pictures photo photos page pic pics"
         " image of@none update settings name icon card screen section", not_before="user low high linkedin dating social"
         " online company tyre business customer raise her- keep job safety"),
    Rule("view", "profile", "side view|angle|elevation|profile|pose|shot, side on, from the|one? side, left|right|full profile,"
         " sideview, sideon, profile view", not_before="", not_after="door doors window street mirror of@none entrance"),
    Rule("view", "back", "back|rear view|angle|elevation|shot|pose, from the? rear, backview, rearview, back|backs|turned to|towards|"
         "toward the? camera|cam|lens|us|viewer, back|backs turned, viewed|seen from the? back|behind|rear",
         not_after="mirror mirrors camera window screen"),
    Rule("view", "back", "back, rear", where="alone"),
    Rule("view", "front", "front", where="alone"),
    Rule("view", "back", "from the back", not_after="of door seat pocket room shelf garden yard rack row kitchen seats"
         " office cupboard burner"),
    Rule("view", "back", "from behind", after="$ @prep @shot @size we walking standing seated sitting running"),
    Rule("view", "back", "from behind", not_after="counter wheel curtain curtains door tree clouds cloud bar desk wall"
         " corner table van car mountain hill bars glass ear ears fence hedge pillar column building house stall oven"
         " truck bus sofa rock rocks windscreen newspaper menu book scenes till tree's hand back box window", before=
         "shot seen viewed view two woman man @person follow following ots"),
    Rule("view", "from above", "from above, seen|viewed from above, top view, view from the? top, looked down on",
         not_before="falls fall falling drips dripping rains raining light lit drops dropping hangs lowered rain snow down"
         " orders instructions music noise sound water help shines shining", not_after="door"),
    Rule("view", "from below", "from below|beneath|underneath, seen|viewed from below|beneath|underneath, bottom view, view from"
         " below, underside view", not_before="lit light glows rises rising steam smoke noise noises voices comes coming"
         " shouts climbs emerges"),
    Rule("", "", "rear|back view mirror|mirrors, rearview mirror|mirrors, back|rear view camera|screen, on the way back,"
         " from the back|rear seat|seats|of, low|high profile, profile picture|photo|page|pic, from head on,"
         " backseat view@none"),
)

POSE = (
    Rule("pose", "standing", "standing|stands|stood", only=False, not_after="lamp lamps desk desks ovation order stone stones"
         " room fan army mixer charge invitation joke rib-roast mirror clock for out by@none",
         not_before="@thing news fruit taxi market bike hat cake night music one grand coat free long hot-dog flower"
         " hotdog newspaper kiosk test umbrella hand under display food coffee lemonade book plant mic microphone it"),
    Rule("pose", "standing", "stand", only=False, before="@people and to can must who"),
    Rule("pose", "seated", "sitting|sits|sat|seated", only=False, not_after="room rooms nav navs navigation duck ducks tight@none"
         " phone ups up target", not_before="@thing"),
    Rule("pose", "seated", "sit", only=False, before="@people and to can who", not_after="com ups"),
    Rule("pose", "driving", "driving|drives|drove", only=False, not_after="range rain licence license test tests school lesson"
         " lessons gloves glove instructor force seat snow wind beat shaft belt mad out",
         not_before="hard flash self drink drunk pile disk usb tape thumb pen disc ssd four two charity whip"),
    Rule("pose", "driving", "drive", only=False, before="@people to and"),
    Rule("pose", "driving", "at|behind the|a? steering? wheel", only=False, not_after="of of-fortune house hub nut well"
         " arch", not_before="potter spinning"),
    Rule("pose", "walking", "walking|walks|walked|strolling|strolls|strides|striding|stroll", only=False, not_after="stick"
         " sticks boot boots frame shoes shoe tour tours distance pole poles cane wounded dead route trail holiday map",
         not_before="dog- space cake moon board wing cat-walks"),
    Rule("pose", "walking", "walk", only=False, before="@people to and"),
    Rule("pose", "running", "running|runs|ran|sprinting|sprints|sprint|jogging|jogs|jog", only=False,
         not_after="water shoes shoe late order mascara costs cost tap bath low out time track tracks into-debt a the"
         " errands board hot cold smoothly jump joke gag commentary machine total battle repairs sore stitch"
         " vest shorts shop top mate stream bottoms pants jacket bib watch club dry",
         not_before="@thing up- ski bread paper long train bus morning home trial milk school fun test down"
         " print rum dry- still nose noses engine keeps@none sleeve"),
    Rule("pose", "running", "running|runs|ran the length|gauntlet|stairs, running|runs|ran a marathon|race", only=False),
    Rule("pose", "running", "run", only=False, before="@people to and", not_after="a the out into-debt late aground errands"),
    Rule("pose", "leaning", "leaning|leans|leaned|leant", only=False, not_after="tower", not_before="@thing"),
    Rule("pose", "leaning", "lean", only=False, before="@people to and", not_after="to meat"),
    Rule("pose", "lying", "lying", only=False, not_after="to about politician face liar around witness", not_before="@thing"
         " are-you stop"),
    Rule("pose", "lying", "lies|lie|lays|laying|lay|laid|lain on|in|down|back|across|flat|under|beside|asleep|face|there|"
         "awake|against|along, lying flat|down|on|back, recumbent, prone, supine", only=False, not_before="@thing white"
         " tell tells telling told it that", not_after="floor-tiles"),
)

AGE_GROUP = (
    Rule("age_group", "baby", "baby|babies|infant|infants|newborn|newborns", only=False, not_after="carrot carrots grand monitor"
         " blue seat shower food powder spinach wipes wipe bottle bottles clothes clothing carriage stroller pink oil pram"
         " buggy sling carrier lotion changing names bump chair gate cot leaves potatoes tomatoes corn gull gulls bird"
         " steps boom boomer boomers swiss shampoo elephant goat seal doll walker bath crib bib book dinosaur fox",
         not_near=""),
    Rule("age_group", "child", "child|children|kid|kids|childs|childrens|boy|boys|girl|girls|schoolboy|schoolboys|schoolgirl|"
         "schoolgirls|toddler|toddlers|schoolchild|schoolchildren|schoolkid|schoolkids|youngster|youngsters|preschooler|"
         "preschoolers|tween|tweens", only=False, not_after="gloves glove leather seat seats lock locks proof proofed"
         " menu menus support benefit minder friend band scout scouts power racer bike ticket tickets fare fares care"
         " size drawing drawings toy toys book books section department meal lead", not_before="delivery paper cow pin"
         " cover bell choir- office golden poster old- page danger best oh atta"),
    Rule("age_group", "teenager", "teen|teenage|teenaged boy|boys|girl|girls|kid|kids|child|children?, teenager|teenagers|teens|"
         "adolescent|adolescents, teenagers", only=False, not_after="magazine fiction mutant drama"),
    Rule("age_group", "adult", "young|middle? adult|adults, middle aged man|woman|men|women|couple|people?, grownup|grownups,"
         " grown up|ups|man|woman, grown men|women", only=False, not_after="education ticket tickets fare fares content size"
         " sizes learning section film films movie class classes swim beverage supervision diaper diapers colouring"
         " coloring bike evening return single social", not_before=""),
    Rule("age_group", "elderly", "elderly|oap|oaps|pensioner|pensioners|septuagenarian|octogenarian|grandmother|grandmothers|"
         "grandfather|grandfathers|grandma|grandmas|grandpa|grandpas|granny|grannies|gran|grandad|granddad|grandparent|"
         "grandparents|nan|nana, old|aged|older man|men|woman|women|lady|ladies|couple|couples|gentleman|gentlemen|folk|"
         "folks|people|fisherman|baker|sailor|person|guy|gent|chap|skipper|captain|boy-, senior citizen|citizens|couple|"
         "woman|man|women|men|lady, seniors, senior people", only=False, not_after="clock clocks smith smiths flat annexe"
         " knot railcard bread-", not_before="high-"),
)

HAND = (
    Rule("hand", "both", "both|two|2 hands, both his|her|their|of|the? hands, left and|or|& right hand|hands, pair of hands,"
         " two handed, bothhands, right and left hand|hands", only=False, not_after="clock watch@none"),
    Rule("hand", "left", "left|l hand|hands|fist|palm, hand left, lh hand", only=False, not_after="side drive lane turn corner"
         " page man door window mirror seat wheel column margin bend edge rail panel frame wall lead driver driving drawer"
         " shelf pocket pane junction exit pier track half part platform turning signal path fork tap bank third stairs"
         " building house shop thread threaded"),
    Rule("hand", "right", "right|r hand|hands|fist|palm, hand right, rh hand", only=False, not_after="side drive lane turn corner"
         " page man woman men door window mirror seat wheel column margin bend edge rail panel frame wall lead driver"
         " driving drawer shelf pocket pane junction exit pier track half part platform turning signal path fork tap"
         " bank third stairs building house shop thread threaded"),
    Rule("", "", "hand left|right of|to|at|corner|turn|lane|behind|the|a, right|left hand over fist"),
)

MIRROR = (
    Rule("mirror", "do not mirror", "do|must|should|can|may not be? mirror|mirrored|flip|flipped|flop|flopped|reverse|reversed,"
         " dont|never|cant|mustnt|shouldnt be? mirror|flip|flop|mirrored|flipped|flopped, no mirror|flip|flop|mirroring|flipping|"
         "flopping, not to be mirrored|flipped|flopped|reversed, not mirrorable, unflippable, keep orientation, dnm",
         not_after="pancake pancakes burger burgers egg eggs omelette out coin bacon switch lid steak fish patty patties off"
         " over up sign page pages table mattress in into phone the-van onto around bread", before=""),
)

FINISH = (
    Rule("finish", "rough", "rough|loose sketch|sketches|drawing|drawings|layout|layouts|board|boards|thumbnail|thumbnails|pass|"
         "line|lines|pencil|pencils|finish|version|frame|frames, roughs|thumbnails, rough comp, loose|pencil rough|roughs,"
         " colour|color|tone|tonal|line|marker|ink|pencil rough|roughs, rough of|for, in rough", not_after="sea road waters"),
    Rule("finish", "rough", "rough", where="alone", not_after="", not_near="sea seas weather waves road terrain"),
    Rule("finish", "clean line", "clean|cleaned line|lineart|linework|ink, cleaned up line|lines?, line art|work|drawing|drawings|only,"
         " lineart|linework, ink|inked line|lines|drawing, inked, cleanup|cleanups, clean up line|drawing, clean version|finish"
         , not_before="tan phone"),
    Rule("finish", "clean line", "clean lines", where="alone start", not_before="with", not_after="of"),
    Rule("finish", "tone", "grey|gray|half|mid|flat|full|marker tone|tones, tone|tonal|toned drawing|drawings|version|finish|sketch|frame|"
         "frames|board|boards|pass|rendering|study|layer|wash, in tone|tones|greyscale|grayscale, toned, with tone|tones, halftone,"
         " line and|& tone|wash, grey|gray wash, greyscale|grayscale drawing|version|finish?", not_after="of body abs legs arms"
         " muscles bodies cinder milk water deaf poem", not_before="skin dial ring two"),
    Rule("finish", "tone", "tone, tonal", where="alone beside", not_after="of deaf arm poem down"),
    Rule("finish", "colour", "in|full full? colour|color|colours, colour|color|coloured|colored drawing|drawings|version|finish|sketch|"
         "frame|frames|board|boards|pass|rendering|render|comp|art|artwork|illustration, coloured|colored up|in, marker colour",
         not_after="of"),
    Rule("finish", "colour", "colour|color|coloured|colored", where="alone", not_near="hair eye swatch swatches printer"),
    Rule("finish", "colour", "colour|color", after="rough roughs"),
)

PERSPECTIVE = (
    Rule("perspective", "one-point", "one|1|single point|vp|pt|vanishing perspective|persp|pers|view|grid|backdrop|interior|background|point, 1pt"
         " perspective|persp?, one|1 vp, 1vp, one|1|single point of perspective@none, one|single vanishing point, one|1 point"
         " set, 1p perspective"),
    Rule("perspective", "two-point", "two|2 point|pt|vp perspective|persp|pers|view|grid|backdrop|background|exterior|interior, 2pt"
         " perspective|persp?, two|2 vp, 2vp, two|2 vanishing points, 2p perspective"),
    Rule("perspective", "three-point", "three|3 point|pt|vp perspective|persp|pers|view|grid|backdrop|background|exterior, 3pt"
         " perspective|persp?, three|3 vp, 3vp, three|3 vanishing points, 3p perspective"),
    Rule("perspective", "one-point", "one|1|single point|pt", where="alone"),
    Rule("perspective", "two-point", "two|2 point|pt", where="alone"),
    Rule("perspective", "three-point", "three|3 point|pt", where="alone"),
    Rule("perspective", "flat", "flat perspective|view|elevation|projection|space|backdrop|persp, no perspective, in elevation"),
    Rule("perspective", "flat", "flat on", where="alone beside"),
    Rule("perspective", "flat", "flat", where="alone beside", not_after="white tyre tire cap screen bread roof battery iron shoes"
         " pack top fish line footed land share bed block bottom", not_near="tyre tire iron rent battery"),
)

RULES: tuple[Rule, ...] = (
    *SHOT_SIZE, *SHOT_TYPE, *CAMERA_ANGLE, *CAMERA_POSITION, *CAMERA_MOVE, *SETTING, *TIME, *SCREEN_DIRECTION,
    *VIEW, *POSE, *AGE_GROUP, *HAND, *MIRROR, *FINISH, *PERSPECTIVE,
)
