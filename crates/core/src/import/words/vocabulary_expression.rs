//! Words of character and manner, and words that only modify others. They make no state; the lists
//! keep them apart from words that nobody knows.

/// Character and manner, phrases apart by `|`.
pub(super) const EXPRESSION: &str = "menuetto|menuett|minuetto|menuet|trio|minore|maggiore|\
    coda|intermezzo|finale|introduzione|introduction|einleitung|ritornello|thema|theme|tema|\
    var|variation|variazione|scherzo|rondo|aria|arie|choral|fuga|fugue|cadenza|kadenz|cadence|\
    attaca|legieramente|recitativ|sotto|gedehnt|mit innigster empfindung|innigst|empfindung|\
    dolce|dolciss|dolcissimo|dol|dolcemente|con dolcezza|espr|espress|\
    espressivo|esp|expr|express|expressif|expressive|con espressione|con molto espressione|\
    con molta espressione|con espress|con espr|ausdrucksvoll|mit ausdruck|avec expression|\
    with expression|cantabile|cant|cantab|cantando|singend|gesangvoll|chantant|chante|en chantant|\
    singing|legato|leg|legatissimo|gebunden|lie|lies|non legato|portato|portamento|port|staccato|\
    stacc|staccatissimo|staccatiss|detache|spiccato|spicc|saltando|saltato|sautille|ricochet|jete|\
    martele|martellato|marcato|marc|marcatissimo|ben marcato|ben marc|markiert|marque|\
    marcato ma piano|tenuto|ten|sostenuto|sost|gehalten|getragen|soutenu|leggiero|leggero|\
    leggieramente|leggermente|legg|leggierissimo|leicht|leger|lightly|light|pesante|pes|schwer|\
    wuchtig|lourd|heavy|grazioso|graz|con grazia|anmutig|gracieux|scherzando|scherz|scherzoso|\
    giocoso|con spirito|con fuoco|con brio|con forza|con tutta forza|tutta forza|con strepito|\
    con sentimento|con passione|appassionato|appass|passionato|con anima|con calore|con abbandono|\
    con gravita|con delicatezza|delicato|delicatamente|delicat|zart|sehr zart|tendre|tenderly|\
    tendrement|innig|mit innigkeit|energico|energ|con energia|kraeftig|kraftvoll|mit kraft|\
    misterioso|mist|mysterieux|geheimnisvoll|mysterious|lamentoso|lament|dolente|doloroso|dolor|\
    mesto|triste|traurig|klagend|plaintif|lontano|lointain|wie aus der ferne|aus der ferne|\
    in der ferne|from a distance|distant|lugubre|cupo|sotto voce|mezza voce|mezza voc|s v|m v|\
    a mezza voce|halbe stimme|mit halber stimme|a mi voix|in rilievo|en dehors|hervortretend|\
    hervorgehoben|hervor|deutlich|bring out|prominent|poco in rilievo|il canto|la melodia|melodia|\
    recitativo|recit|rec|quasi recitativo|parlando|declamato|gesprochen|spoken|sussurrando|\
    \
    simile|\
    sim|segue|come prima|come sopra|comme avant|wie vorher|wie oben|wie zuvor|as before|attacca|\
    attacca subito|sans attendre|lunga|lunghissima|lunga pausa|g p|generalpause|kurz|lang|court|\
    long|short|corta|breve pausa|vibrato|vibr|con vibrato|molto vibrato|senza vibrato|non vibrato|\
    sans vibrer|ohne vibrato|non vibr|senza vibr|poco vibrato|sul g|sul d|sul a|sul e|sul c|sul iv|\
    sul iii|sul ii|sul i|iv corda|g saite|d saite|a saite|e saite|c saite|auf der g saite|auf g|\
    sur sol|sur la corde sol|4e corde|3e corde|2e corde|4 corda|iva corda|4a corda|3a corda|2a corda|\
    1a corda|punta d arco|a punta d arco|alla punta|punta|an der spitze|spitze|a la pointe|\
    de la pointe|pointe|at the point|at the tip|al tallone|tallone|am frosch|frosch|au talon|talon|\
    du talon|at the frog|frog|tutto l arco|tutto arco|mit ganzem bogen|ganzer bogen|g b|\
    avec tout l archet|whole bow|a la corde|alla corda|non div e arco|bacchette di timpani|\
    bacchette di spugna|bacchette|schwammschlaegel|mit schwammschlaegeln|schwammschl|\
    baguettes d eponge|baguettes|soft sticks|hard sticks|medium sticks|wooden sticks|soft mallets|\
    hard mallets|with sticks|with brushes|holzschlaegel|mit holzschlaegeln|filzschlaegel|\
    paukenschlaegel|mit paukenschlaegeln|mit tellern|teller|a 2 tellern|rim shot|rimshot|on the rim|\
    pres de la table|p d l t|pdlt|bisbigliando|bisb|gliss|glissando|glissez|gleitend|gett|gettato|\
    arpeggiando|arpegg|arp|arpeggio|non arpeggio|non arp|una corda|u c|tre corde|t c|due corde|\
    con pedale|con ped|ped|senza pedale|senza ped|col pedale|mit pedal|avec pedale|sempre pedale|\
    8va|8vb|15ma|loco|ottava|all ottava|coll 8|con 8|hauptstimme|nebenstimme|h|n|\
    doppelzunge|double tongue|triple tongue|colpo di lingua|sans nuances|sans rigueur|avec rondeur|\
    rond|doux|tres doux|doucement|soft|softly|sanft|weich|warm|warmly|calme|calm|serein|sereno|\
    semplice|simple|einfach|schlicht|naif|innocente|nobile|noble|nobilmente|edel|religioso|\
    solenne|feierlich|solemn|brillante|brill|glaenzend|brillant|grandioso|pomposo|trionfante|eroico|\
    militare|marziale|alla marcia|marschmaessig|risoluto|ris|entschlossen|decide|deciso|bestimmt|\
    feroce|furioso|con furia|wild|sauvage|barbaro|strepitoso|impetuoso|ungestuem|stuermisch|\
    tempestoso|agitato|agit|agite|agitiert|inquieto|unruhig|affettuoso|affetuoso|con affetto|\
    amoroso|con amore|lusingando|lusing|teneramente|con tenerezza|piangendo|sospirando|languido|\
    languendo|malinconico|mormorando|sognando|traeumerisch|etereo|volante|veloce|fluido|fluide|\
    sonore|sonoro|klangvoll|resonant|rough|rauh|ruvido|roh|grob|secco|sec|trocken|ruhig|hastig|\
    fliessend|dreinfahrend|keck|frisch|munter|heiter|lustig|humoristisch|spoettisch|parodistisch|\
    nachlaessig|gemaechlich|behaglich|gemuetlich|in due|in uno|in quattro|alla breve|halbe takte|\
    ganze takte|in 1|in 4|in 3|in 6|in 8|loud|quiet|lively|boldly|broad|vigorous|marked|echo|\
    wie ein hauch|kaum hoerbar|fast unhoerbar|quasi niente|off stage|\
    offstage|on stage|in the distance|dietro la scena|sul palco|interno|hinter der scene|\
    hinter der szene|in der entfernung|ossia|opt|optional|oppure|cue|play|tacet|fine ad lib|\
    wie eine vogelstimme|wie ein naturlaut|wie ein kondukt|opp|\
    con affetto e forza|subito piano|agogico|calmato|\
    die uebrigen|die anderen|gli altri|altri|les autres|the others|others|the rest|\
    come accompagnamento|come accompagnamente|accompagnato|accompagnando|punto d arco|\
    col punto d arco|neue kraft fuehlend|tirando|flebile|\
    con sonorita|con slancio|con impeto|con bravura|con eleganza|con duolo|con dolore|con gusto|\
    a cappella|bocca chiusa|a bocca chiusa|bouche fermee|mit geschlossenem mund|humming|\
    poco p|quasi p|quasi f|nicht schleppen|nicht eilen|ohne zu schleppen|ohne zu eilen|\
    sans trainer|sans presser|sans ralentir|sans rigueur|senza rall|senza rit|senza rallentare|\
    senza ritardare|senza accelerare|non rit|non rall|no rit|ohne rit|sans rit|\
    pedale|ped e una corda|due pedali|1 pedal";

/// Words that only modify others, apart by `|`.
pub(super) const FILLERS: &str = "molto|poco|un|una|uno|po|assai|piu|meno|sempre|e|ed|et|ma|non|troppo|\
    con|senza|subito|sub|very|sehr|etwas|ziemlich|und|nicht|zu|tres|peu|plus|moins|a|al|alla|\
    allo|all|alle|again|wieder|ancora|possibile|quasi|ben|bene|mezzo|mit|ohne|avec|sans|very|more|\
    less|and|but|always|immer|noch|ganz|wie|come|il|la|lo|le|les|der|die|das|den|dem|the|of|di|de|\
    du|des|del|dello|della|in|im|am|an|ad|poi|dann|then|puis|mais|bien|toujours|encore|tutto|tutta|\
    meme|gleichsam|ein|eine|einem|einer|moeglichst|as|possible|auf|sul|sulla|sur|on|at|werdend|\
    anima|spirito|fuoco|brio|forza|grazia|espressione|ausdruck|expression|quanto|tanto|ogni|battuta|\
    takt|bar|bars|gleichmaessig|allmaehlich|nach|gradually|progressivement|a poco|or|od|oder|ou|o|s|\
    dolcezza|sentimento|only|nur|still|one|l|d|so|wenig|viel|beginnend|anfangs|fino|bis|until|fin";
