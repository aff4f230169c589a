//! Tempo words in Italian, German, French and English. What a word means in beats a minute is a
//! matter of the tempo track, not of reading.

use super::vocabulary::TempoWord;

/// Words by what they ask for, phrases apart by `|`.
pub(super) const TABLE: &[(TempoWord, &str)] = &[
    (
        TempoWord::Term,
        "grave|largo|larghetto|larghissimo|adagio|adagietto|adagissimo|lento|lentissimo|andante|\
         andantino|moderato|allegretto|allegro|allegrissimo|all|allo|vivace|vivacissimo|vivo|presto|\
         prestissimo|tempo di marcia|tempo di valse|tempo di valzer|tempo di menuetto|\
         tempo di minuetto|tempo di ballo|tempo giusto|tempo ordinario|tempo comodo|tempo ii|\
         tempo 2|tempo iii|tempo 3|tempo secondo|l istesso tempo|lo stesso tempo|istesso tempo|\
         stesso tempo|medesimo tempo|doppio movimento|doppio piu mosso|doppio piu lento|alla breve|\
         piu mosso|meno mosso|poco piu mosso|poco meno mosso|piu lento|piu allegro|piu vivo|\
         piu presto|piu stretto|stretto|piu moto|meno allegro|piu adagio|piu andante|\
         langsam|langsamer|sehr langsam|maessig|massig|geschwinder|maessig bewegt|gemaessigt|lebhaft|lebhafter|schnell|\
         schneller|sehr schnell|rasch|rascher|eilig|geschwind|bewegt|bewegter|gehend|schreitend|\
         breit|breiter|schleppend|etwas bewegter|etwas langsamer|etwas schneller|im marschtempo|\
         laendlertempo|walzertempo|hauptzeitmass|doppelt so schnell|doppelt so langsam|\
         dasselbe tempo|gleiches tempo|lent|tres lent|plus lent|moins lent|lentement|modere|\
         moderement|moins vite|vif|vivement|plus vif|tres vif|vite|tres vite|plus vite|anime|\
         plus anime|moins anime|allant|plus allant|tres large|plus large|largement|retenez le mouvement|\
         mouvement de valse|mouvement de marche|meme mouvement|meme mouvt|assez lent|assez vif|\
         assez anime|slow|slower|slowly|very slow|moderate|moderately|fast|faster|very fast|quick|\
         quickly|quicker|brisk|briskly|lively tempo|half time|double time|same tempo|walking pace|\
         march tempo|waltz tempo|slow movement|twice as fast|twice as slow|half as fast|double tempo|\
         half tempo|halb so schnell|im selben tempo|im gleichen tempo|in gleichem tempo|\
         il doppio piu lento|il doppio piu mosso|il doppio movimento|il doppio piu presto|\
         la meta piu lento|meta tempo|la moitie plus lent|deux fois plus vite|deux fois plus lent|\
         le double plus vite|le double plus lent|meme tempo|au meme mouvement|noch langsamer|\
         noch schneller|noch lebhafter|noch bewegter|gedehnter|etwas ruhiger|etwas gehalten|\
         tempo di marcia funebre|tempo di polacca|tempo di mazurka|tempo di bolero|alla polacca|\
         alla turca|alla siciliana|tempo di gavotta|tempo di sarabanda|more motion|faster tempo|\
         slower tempo|un poco piu mosso|un poco meno mosso|un poco piu lento|un poco piu vivo|\
         un poco piu andante|un poco piu adagio|meno presto|meno vivo|piu vivace|meno lento",
    ),
    (
        TempoWord::Character,
        "tranquillo|tranquillamente|piu tranquillo|maestoso|sostenuto|pesante|animato|\
         con moto|mosso|comodo|commodo|agitato|largamente|ruhig|ruhiger|feierlich|gemessen|schwer|\
         fliessend|fliessender|getragen|gemaechlich|behaglich|gemuetlich|calme|plus calme|\
         tranquille|majestueux|marziale|alla marcia|con brio|con fuoco|con spirito|risoluto|\
         grandioso|appassionato|calmo|scorrevole|frisch|munter|heiter|kraeftig|energisch|wuchtig|\
         stuermisch|leidenschaftlich|calm|lively|majestic|broadly|steady|steadily|flowing|\
         solemn|in modo di marcia|marcia|andamento|deciso|energico|impetuoso|affettuoso|cantabile",
    ),
    (
        TempoWord::Gradual(false),
        "rit|ritard|ritar|ritardan|ri tar dan do|ritar dan do|ritardan do|ral len tan do|rallen tan do|\
         rallentan|rallentan do|al lar gan do|allar gan do|ritardando|ritardand|riten|ritenuto|ritenente|ritenendo|rall|rallent|rallen|\
         rallentando|rallentand|allarg|allargando|slarg|slargando|slentando|lentando|tardando|\
         trattenuto|tratt|strascinando|poco rit|poco rall|molto rit|molto rall|zurueckhaltend|\
         zurueckhalten|nachlassend|nachgebend|verlangsamen|verlangsamend|verbreiternd|\
         breiter werdend|langsamer werdend|ruhiger werdend|zoegernd|verzoegernd|ritardierend|\
         cedez|cedant|en cedant|ceder|retenu|retenez|en retenant|ralentir|ralentissez|ralenti|\
         en ralentissant|elargissez|en elargissant|elargir|slowing|slow down|slowing down|\
         getting slower|broadening|broaden|hold back|holding back|poco ritard|rilasciando|\
         rilassando|calmandosi|calmando|rallentare|ritardare|un poco rit|molto ritard|poco a poco rit|\
         poco a poco rall|poco a poco ritard|poco a poco allarg|poco allarg|molto allarg|\
         poco a poco meno mosso|poco a poco piu lento|ral|rtd|slarg poco a poco|\
         rallentando e diminuendo|allmaehlich langsamer|immer langsamer|nach und nach langsamer|\
         langsamer werden|etwas zurueckhaltend|molto riten|poco riten|en elargissant peu a peu|\
         cedez un peu|un peu retenu|en retenant un peu|gradually slower|becoming slower",
    ),
    (
        TempoWord::Gradual(true),
        "accel|accelerando|accele|acceleran|ac ce le ran do|accele ran do|acceleran do|strin gen do|\
         stringen do|acceler|acc|accelerand|string|stringendo|stringend|affrett|affrettando|\
         incalzando|incalz|stretto poco a poco|piu mosso poco a poco|poco a poco accel|\
         poco a poco piu mosso|poco a poco accelerando|poco a poco stringendo|animandosi|\
         precipitando|precipitato|draengend|draengen|treibend|vorwaerts|beschleunigen|\
         beschleunigend|beschleunigt|eilend|belebend|belebter werdend|schneller werdend|\
         allmaehlich schneller|immer schneller|pressez|en pressant|pressant|presser|serrez|serrer|\
         en serrant|animez|en animant|en accelerant|accelerez|speeding up|speed up|getting faster|\
         hurrying|pressing forward|moving forward|push|pushing|poco a poco string|poco accel|molto accel|poco string|\
         molto string|nach und nach schneller|immer bewegter|immer lebhafter|etwas draengend|\
         vorwaerts draengend|en animant peu a peu|animez un peu|pressez un peu|serrez un peu|\
         gradually faster|becoming faster|accelerare|poco a poco piu vivo|poco a poco piu presto|\
         sempre piu mosso|sempre piu presto|sempre piu allegro|sempre piu stretto",
    ),
    (
        TempoWord::ATempo,
        "a tempo|in tempo|im tempo|tempo|a temp|a t|im zeitmass|wieder im tempo|\
         wieder im zeitmass|au mouvement|au mouvt|au mouv|au mvt|mouvt|mouvement|au temps|\
         ritornando al tempo|a tempo giusto|in time|a battuta|misurato|mesure|a tempo ma|im takt|\
         gut im takt|streng im takt|genau im takt|wieder im takt|in strict time|strict time|\
         strictly in tempo|a rigore|a rigore di tempo|con misura",
    ),
    (
        TempoWord::Primo,
        "tempo i|tempo 1|tempo 1o|tempo 1mo|tempo primo|tempo prima|primo tempo|1o tempo|i tempo|\
         1 tempo|a tempo i|a tempo primo|a tempo 1o|come primo|erstes zeitmass|erstes tempo|\
         tempo des anfangs|im ersten zeitmass|im ersten tempo|1 zeitmass|anfangstempo|\
         1er mouvement|1er mouvt|1er mouv|1er tempo|premier mouvement|au 1er mouvt|\
         au 1er mouvement|au premier mouvement|first tempo|original tempo|tempo come prima|\
         tempo i mo|tempo wie zu anfang|tempo wie am anfang",
    ),
    (
        TempoWord::Free,
        "rubato|tempo rubato|rubato assai|poco rubato|molto rubato|senza tempo|senza misura|\
         senza rigore|senza rigore di tempo|senza battuta|colla parte|col canto|colla voce|\
         con la parte|suivez|suivez le chant|suivez la voix|suivez le solo|\
         a piacere|a piacimento|a capriccio|ad libitum|ad lib|libero|liberamente|libre|librement|\
         frei|freies zeitmass|freies tempo|ganz frei|frei im tempo|frei im zeitmass|ohne takt|\
         free|freely|free time|in free time|free tempo|out of time|without tempo|\
         follow the soloist|follow the singer|follow soloist|quasi cadenza|quasi una cadenza",
    ),
    (
        TempoWord::Swing(true),
        "swing|swing feel|swing eighths|swing 8ths|swing 8 th s|swung|swung eighths|swung 8ths|\
         medium swing|slow swing|fast swing|up tempo swing|easy swing|light swing|shuffle|\
         shuffle feel|in swing|swingend|triplet feel",
    ),
    (
        TempoWord::Swing(false),
        "straight|straight eighths|straight 8ths|straight feel|straight time|even eighths|\
         even 8ths|no swing|not swung|straight notes|swing off|end swing",
    ),
];
