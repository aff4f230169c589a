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
         march tempo|waltz tempo|swing|slow movement",
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
        "rit|ritard|ritardando|ritardand|riten|ritenuto|ritenente|ritenendo|rall|rallent|rallen|\
         rallentando|rallentand|allarg|allargando|slarg|slargando|slentando|lentando|tardando|\
         trattenuto|tratt|strascinando|poco rit|poco rall|molto rit|molto rall|zurueckhaltend|\
         zurueckhalten|nachlassend|nachgebend|verlangsamen|verlangsamend|verbreiternd|\
         breiter werdend|langsamer werdend|ruhiger werdend|zoegernd|verzoegernd|ritardierend|\
         cedez|cedant|en cedant|ceder|retenu|retenez|en retenant|ralentir|ralentissez|ralenti|\
         en ralentissant|elargissez|en elargissant|elargir|slowing|slow down|slowing down|\
         getting slower|broadening|broaden|hold back|holding back|poco ritard|rilasciando|\
         rilassando|calmandosi|calmando",
    ),
    (
        TempoWord::Gradual(true),
        "accel|accelerando|acceler|acc|accelerand|string|stringendo|stringend|affrett|affrettando|\
         incalzando|incalz|stretto poco a poco|piu mosso poco a poco|poco a poco accel|\
         poco a poco piu mosso|poco a poco accelerando|poco a poco stringendo|animandosi|\
         precipitando|precipitato|draengend|draengen|treibend|vorwaerts|beschleunigen|\
         beschleunigend|beschleunigt|eilend|belebend|belebter werdend|schneller werdend|\
         allmaehlich schneller|immer schneller|pressez|en pressant|pressant|presser|serrez|serrer|\
         en serrant|animez|en animant|en accelerant|accelerez|speeding up|speed up|getting faster|\
         hurrying|pressing forward|moving forward|push|pushing",
    ),
    (
        TempoWord::ATempo,
        "a tempo|in tempo|im tempo|tempo|a temp|a t|im zeitmass|wieder im tempo|\
         wieder im zeitmass|au mouvement|au mouvt|au mouv|au mvt|mouvt|mouvement|au temps|\
         ritornando al tempo|a tempo giusto|in time|a battuta|misurato|mesure|a tempo ma",
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
];
