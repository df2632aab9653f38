# Lo que dice Telltale, en español. Una prueba falla si falta un texto o una variable.

## Inicio
greet = Hola. Soy el asistente de { $shop }, un programa y no una persona. Dígame con sus palabras qué le pasa a su camioneta o qué quiere que le hagan. Para hablar con una persona, llame al { $phone } o escriba "persona".
greet-again = Hola de nuevo, de parte de { $shop }.
introduce = Soy el asistente de { $shop }, un programa y no una persona. Para hablar con una persona, llame al { $phone } o escriba "persona".
where-we-were = Estábamos hablando de { $truck }.
started-over = De acuerdo, desde el principio.
new-truck = Otra camioneta. La guardo aparte de las demás.
language-now = Escribo en español.
welcome = De nada.
help =
    Reúno lo que { $shop } necesita saber de su camioneta, le digo qué conviene revisar y le pido hora al taller.
    Escriba con sus palabras, cuando quiera:
    "mis camionetas", "mi cita", "estado", "empezar de nuevo", "qué saben de mí", "olvídame", "alto" para terminar los avisos, "persona" para una persona.
    Teléfono del taller: { $phone }

## Lo leído
read-back = Leo: { $facts }.
corrected = Corregido. Ahora leo: { $facts }.
corrected-plain = Leí de nuevo su mensaje como lo cambió.
photo-kept = Foto guardada. El taller la ve con su solicitud.
unreadable-voice = No puedo escuchar mensajes de voz. Escríbalo en pocas palabras, por favor.
unreadable-location = No puedo usar una posición del mapa. Escriba el lugar con palabras, por favor.
unreadable-document = Puedo guardar fotos, pero no archivos de este tipo. Mande una foto o escríbalo, por favor.
unreadable-photo = Esa foto no se pudo guardar: está dañada, es demasiado grande o no es una foto. Envíela otra vez, o escriba qué muestra.
unreadable-other = Puedo leer palabras y guardar fotos; esto no lo puedo usar. Escríbalo en pocas palabras, por favor.
not-understood = No lo entendí. Dígalo con otras palabras, por favor: qué hace la camioneta o qué quiere que le hagan.
not-understood-answer = No entendí eso como respuesta.
offer-guesses = No estoy seguro de haber entendido. ¿Es una de estas cosas?
already-answered = Esa pregunta ya está contestada; tengo: { $answer }.
button-too-old = Ese botón es de una pregunta anterior.
words-tapped = tocado
words-number = número dado

## Camionetas
truck-unknown = su camioneta
truck-known = su { $truck }
truck-known-shop = { $truck }
truck-unknown-shop = camioneta sin describir
ask-truck = ¿De cuál camioneta se trata?
option-other-truck = Otra camioneta
no-trucks = Todavía no tengo ninguna camioneta suya. Dígame año, motor y millas.
trucks-head = Sus camionetas:
truck-line = – { $truck }, última lectura { $miles } millas
truck-line-no-miles = – { $truck }
truck-closed = Gracias. Cerré { $truck } y ya no pregunto por ella. Si ahora hay otra, escriba su año, motor y millaje.
which-sold = ¿De cuál camioneta se trata? Escriba "mis camionetas" para verlas.
moved-away = Gracias por avisar, y que le vaya bien allá. Ya no escribo por mi cuenta; con "start" vuelvo a hacerlo, y el taller está en el { $phone }.

## Preguntas
ask-anything = ¿Qué puedo hacer por su camioneta?
ask-symptoms = ¿Qué hace { $truck }, o qué quiere que le revisen? Escríbalo con sus palabras, o toque lo que corresponda.
ask-engine = ¿Qué motor tiene { $truck }?
hint-engine = La placa en la salpicadera, la caja del aire o la etiqueta bajo el cofre suelen decirlo, como "6.7 L diesel".
ask-model-year = ¿De qué año modelo es { $truck }?
hint-model-year = Está en el registro; en la etiqueta de la puerta, la fecha de fabricación es casi lo mismo.
ask-odometer = ¿Cuánto marca el odómetro de { $truck }? Un número redondo está bien.
ask-trouble-codes = ¿Un lector o el tablero mostró un código, como P0087?
ask-tows = ¿Jala seguido un remolque o una carga pesada?
ask-miles-per-year = ¿Más o menos cuántas millas maneja al año?
ask-last-fuel-filter = ¿A cuántas millas le cambiaron el filtro de combustible la última vez?
ask-last-oil-change = ¿A cuántas millas le cambiaron el aceite la última vez?
ask-pump-protected = ¿Ya le pusieron un kit de protección de la bomba de alta presión?
ask-pump-replaced = ¿Le cambiaron la bomba de alta presión por otro diseño, por ejemplo en una campaña del fabricante?
ask-breather = ¿El filtro del respiradero del cárter todavía es el de fábrica?
ask-vin = ¿Cuál es el VIN, los 17 caracteres del registro?
hint-vin = También está detrás del parabrisas, del lado del conductor, y en la etiqueta de la puerta.
ask-hint = Para estar seguro: { $symptom } – ¿es eso lo que quiere decir?
doubt-vin-year = La letra del año en un VIN se repite cada 30 años.
doubt-year-vin = El VIN da el año-modelo { $year }.
doubt-year-engine = Un motor como el que describe se hizo para los años-modelo { $years }.
ask-doubt = { $because }Leí { $value } de "{ $words }". ¿Es correcto?

option-yes = Sí
option-no = No
option-not-sure = No estoy seguro
option-dont-know = No sé
option-none-of-these = Ninguna de estas
option-nothing-wrong = Nada mal, mantenimiento
option-hard-start = Le cuesta arrancar
option-loss-of-power = Menos fuerza
option-check-engine = Luz del motor prendida
option-fuel-leak = Tira combustible
option-no-codes = Ningún código
engine-67-v8 = 6.7 L V8 diesel
engine-67-i6 = 6.7 L seis en línea diesel
engine-66-v8 = 6.6 L V8 diesel
engine-60-v8 = 6.0 L V8 diesel
engine-30-v6 = 3.0 L V6 diesel

value-miles = { $miles } millas
value-litres = { $litres } L
value-miles-a-year = { $miles } millas al año
value-last-filter = filtro de combustible a las { $miles } millas

## Peligro
danger-phone = { $shop }: { $phone }
danger-again = Si alguien está en peligro, llame primero a emergencias. El teléfono del taller es { $phone }.
ask-tow = ¿El taller la espera en grúa?
again-tow = ¿El taller la espera en grúa?
option-tow-in = Sí, en grúa
option-call-me = Que me llamen
option-no-tow = No, sin grúa
ask-tow-details = ¿Están todos a salvo? ¿Dónde está la camioneta, va cargada o con remolque, y dónde están las llaves? Con un mensaje basta.
again-tow-details = ¿Dónde está la camioneta, va cargada o con remolque, y dónde están las llaves?
tow-note = Grúa: { $words }

## Consejo
urgency-do-not-drive = No maneje { $truck }.
urgency-prompt = Que revisen { $truck } en estos días, y maneje solo lo necesario.
urgency-planned = Esto le toca a { $truck } por millas o por tiempo. Nada urgente.
urgency-watch = Por ahora no le toca nada a { $truck }.
urgency-word-do-not-drive = no manejar
urgency-word-prompt = en estos días
urgency-word-planned = toca por millas o tiempo
urgency-word-watch = no toca nada
service-line = – { $service }: { $because }
more-services = { $count ->
    [one] Va con un servicio más.
   *[other] Va con { $count } servicios más.
}
not-advised-line = No se aconseja, { $service }: { $because }
due-at-line = { $service }: toca a las { $miles } millas.
nothing-due = Por lo que me dijo, no hay nada que hacer.
nothing-due-until = Lo próximo que viene es { $service }, a las { $miles } millas.
estimate = Estimado: { $total }, { $hours } horas de trabajo. No incluye: { $leftOut }. No es un precio fijo; el taller lo confirma por escrito.
estimate-diagnosis = Estimado para encontrar la causa: { $total }, { $hours } horas. Lo que cuesta la reparación se sabe después. No incluye: { $leftOut }.
estimate-line = { $text }: { $hours } h, partes { $parts }
caution-line = • { $caution }
deferral = Es un consejo por lo que usted escribió, no un diagnóstico. Deje el trabajo a un técnico calificado, con licencia donde la ley la pida, y siga las reglas locales.
ask-advice = ¿Qué prefiere?
again-advice = ¿Busco una hora?
option-see-times = Ver horas
option-whole-advice = Todo, con razones
option-person = Preguntar a una persona
option-not-now = Ahora no
not-now = De acuerdo. Escriba cuando quiera, o llame al { $phone }.
times-need-facts = Busco una hora en cuanto sepa qué necesita la camioneta.
price-needs-facts = El precio depende de la camioneta. Primero unas preguntas.
decline-tamper = El taller no quita, puentea ni desactiva equipo de emisiones.
instead-of-tamper = Si se tapa o da avisos, dígame qué hace la camioneta: casi siempre hay una causa que se puede reparar.

## Horas
offer-times = Estas horas están libres:
wanted-not-free = La hora que pidió no está libre. Las más cercanas:
no-times = No encuentro hora libre. { $because } También puede llamar al { $phone }.
ask-wanted-time = ¿Qué día le conviene, y en la mañana o en la tarde?
again-time = ¿Qué hora le conviene?
option-more-times = Más horas
option-other-day = Otro día
slot-taken = Esa hora se acaba de ocupar.
time-open = hora por acordar
ask-name = ¿Qué nombre le doy al taller?
ask-phone = ¿Y un número de teléfono para que el taller lo encuentre?
phone-unclear = No puedo leer eso como número de teléfono. Démelo con clave de área, por favor.
option-answer-here = Mejor contésteme aquí
send-words =
    Esto va al taller:
    { $truck }
    { $services }
    { $time }
    { $estimate }
    Al mandarlo acepta trabajo dentro de este estimado; sin su sí no se hace nada más.
send-words-unpriced =
    Esto va al taller:
    { $truck }
    { $time }
ask-send =
    { $words }
    { $name }, { $phone }
    ¿Lo mando?
again-send = ¿Mando la solicitud?
option-send = Mandar
option-other-time = Otra hora
request-sent = Mandado. Todavía no es cita: el taller contesta a más tardar { $answerBy }. Si no puede esperar, llame al { $phone }.
move-sent = Le pedí al taller { $time }. Hasta que lo acepte, a más tardar { $answerBy }, no es cita todavía.

## El taller contesta
accepted = Confirmado: { $truck }, { $time }, { $address }. El archivo adjunto lo pone en su calendario. Para cambiarlo, escriba "cambiar mi cita" o "cancelar".
because-full = no cabe en el plan del taller
declined = El taller no puede tomar esta solicitud: { $because }. Puede llamar al { $phone }, o pedirme otra hora.
ask-other-time = El taller ofrece otra hora para { $truck }: { $time }. ¿Le conviene?
again-other-time = ¿Le conviene la hora ofrecida?
option-take-it = Sí, la tomo
moved-by-shop = El taller cambió la cita de { $truck } a { $time }. Si no le conviene, escriba "cambiar mi cita" o llame al { $phone }.
cancelled-by-shop = El taller tiene que cancelar la cita: { $because }. Llame al { $phone }, o pídame otra hora.
shop-calls = El taller lo va a llamar. Si es urgente, llame al { $phone }.
from-shop = De { $shop }: { $words }
arrived = Su camioneta llegó al taller.
missed-you = Lo esperamos a la hora de la cita. Escriba aquí para otra, o llame al { $phone }.
unanswered = El taller todavía no contesta, y así no debe ser. Su solicitud sigue ahí; lo más rápido ahora es llamar al { $phone }.
ask-cancel = ¿Cancelo { $truck }, { $time }?
option-cancel-it = Sí, cancelar
option-keep-it = Dejarla
cancelled = Cancelado. El taller lo sabe.
cannot-cancel = Eso ya no se puede cancelar aquí. Llame al { $phone }, por favor.
kept = Se queda como está.
no-appointment = No hay cita ni solicitud abierta. Dígame qué necesita la camioneta y busco una hora.
appointment-booked = Confirmado: { $truck }, { $time }. Teléfono del taller: { $phone }.
appointment-requested = Pedido, todavía no es cita: { $truck }, { $time }. Teléfono del taller: { $phone }.
appointment-underway = { $truck }, { $time }: está con el taller. Su teléfono: { $phone }.
person-coming = Le avisé al taller; una persona se comunica con usted. Si es urgente, llame al { $phone }.

## Registro de servicio
record-head = Registro de servicio, { $truck }, { $date }, { $miles } millas:
record-service = – { $service }
record-finding = – { $service }: { $finding } { $note }
record-put-off = – pospuesto: { $service }, { $because }
record-look-for-leaks = Mire debajo de la camioneta en los próximos días: si ve gotas o huele a combustible, deje de manejarla y escriba o llame.
record-next = Lo próximo: { $services }, a las { $miles } millas.
finding-none = nada encontrado
finding-doubtful = dudoso
finding-metal = se encontró metal
finding-clear = limpio
finding-sooted = con hollín
finding-blocked = tapado
finding-replaced = cambiado
finding-done = hecho
finding-other = ver nota

## Seguimiento
ask-consent = ¿Puede { $shop } escribirle aquí cuando es probable que toque servicio, a lo más unas veces al año? Lo termina cuando quiera con "alto".
again-consent = ¿Puede el taller escribirle aquí cuando es probable que toque servicio?
option-consent-yes = Sí, avísenme
option-consent-no = No
consent-given = Bien. De vez en cuando pregunto por el odómetro, y escribo cuando toca algo. "alto" lo termina.
consent-given-no-reach = Bien. Esta página no lo alcanza cuando está cerrada: escriba "link" para recibir avisos en su teléfono, o el taller lo llama. "alto" lo termina.
consent-refused = De acuerdo, sin avisos.
link-how = En su teléfono, abra el chat del taller y mándele esto una vez: /start { $code } – sirve por 30 minutos y une ese chat con este.
link-not-needed = Este chat ya lo alcanza.
ask-odometer-check = Aquí { $shop }. ¿Cuánto marca el odómetro de { $truck }? Yo calculo unas { $guess }. Mande el número, o toque.
ask-odometer-check-plain = Aquí { $shop }. ¿Cuánto marca el odómetro de { $truck }? Mande el número, o toque.
gate-lower-than-last = Eso es menos que la última lectura, { $last } ({ $miles } millas en { $days } días).
gate-too-fast = Serían { $miles } millas en { $days } días, desde { $last }.
gate-too-slow = Serían solo { $miles } millas en { $days } días, desde { $last }.
again-odometer = ¿Cuánto marca el odómetro de { $truck }?
ask-odometer-first = ¿Cuánto marca ahora el odómetro de { $truck }? Así encuentro la semana correcta.
option-skip-odometer = Muéstreme horarios
too-early = Anotado: { $miles } millas. Faltan { $left } para { $services }, así que es pronto para reservar. Pregunto de nuevo antes de que toque.
option-roughly = Más o menos eso
option-later = Después
option-sold = La vendí
option-stop-reminders = Ya no más avisos
noted = Anotado, gracias.
noted-miles = Anotado: { $miles } millas.
outlook = Anotado: { $miles } millas. Lo próximo es { $services } a las { $dueMiles }, en { $left } millas; probablemente { $when }.
outlook-overdue = Anotado: { $miles } millas. { $services } tocaba a las { $dueMiles }, hace { $left } millas.
outlook-guess = Gracias, guardo { $miles } como cálculo. Según eso, para { $services } a las { $dueMiles } millas faltan unas { $left } millas; probablemente { $when }.
outlook-guess-overdue = Gracias, guardo { $miles } como cálculo. Según eso, { $services } tocaba a las { $dueMiles }, hace unas { $left } millas.
date-range = entre el { $from } y el { $to }
over-ten-years = dentro de más de diez años
offer-service = { $shop }: { $services } de { $truck } toca a las { $dueMiles } millas, probablemente { $when }. ¿Busco una hora?
offer-service-passed = { $shop }: { $services } de { $truck } tocaba a las { $dueMiles } millas, y es probable que ya las haya pasado. ¿Busco una hora?
again-service-offer = ¿Busco una hora para el servicio?
done-elsewhere = Anotado, gracias. Lo próximo es { $services } a las { $dueMiles } millas; probablemente { $when }.
later-fine = De acuerdo, pregunto de nuevo en dos semanas.
service-put-off = De acuerdo. Vuelvo a preguntar hacia el { $when }; si le conviene antes, escriba o llame al { $phone }.
appointment-today = Hoy: { $truck }, { $time }, { $address }. Para cambiarlo, escriba "cambiar mi cita", o llame al { $phone }.
appointment-tomorrow = Mañana: { $truck }, { $time }, { $address }. Para cambiarlo, escriba "cambiar mi cita", o llame al { $phone }.
ask-leak = { $shop }: desde el trabajo en { $truck }, ¿ha visto una fuga u olido combustible?
again-leak = ¿Ha visto una fuga u olido combustible desde el trabajo?
option-leak-yes = Sí, fuga u olor
option-leak-no = No, todo seco
glad-no-leak = Bien. Gracias por revisar.
status = Estado de { $truck }: { $miles } millas el { $date }. Lo próximo es { $services } a las { $dueMiles } millas, probablemente entre el { $from } y el { $to }.
status-nothing-due = Estado de { $truck }: { $miles } millas el { $date }. No hay nada planeado.
status-no-reading = Estado de { $truck }: todavía no tengo lectura del odómetro. Mándeme el número.

## Permiso, datos
stopped = Hecho. Ya no recibe mensajes nuestros si usted no escribe. "start" los enciende de nuevo.
stopped-request-open = Hecho, ya no hay avisos. Su solicitud abierta sigue con el taller; si hace falta lo llama ({ $phone }).
opt-in-wording = { $shop } puede escribir aquí cuando es probable que toque servicio, hasta "alto".
started-again = Los avisos están encendidos de nuevo. "alto" los termina.
data-head = Esto es lo que guardo de usted:
data-contact = Nombre: { $name }. Teléfono: { $phone }.
data-consent = Aceptó avisos el { $date }.
data-no-consent = Sin avisos aceptados.
data-truck = Sobre { $truck }: { $facts }. Registros de servicio: { $records }.
data-requests = Solicitudes al taller: { $count }.
data-agreed = El { $date } { $who } aceptó: { $wording }
data-answered = El { $date } { $who } dijo "{ $said }" a: { $wording }
data-foot = Los mensajes se borran después de un tiempo; "olvídame" lo borra todo ahora, menos los registros de reparación del taller, sin su nombre.
ask-forget = ¿Borro su nombre, número, mensajes y fotos? El taller conserva los registros de reparación sin su nombre, como debe. Las solicitudes abiertas se retiran.
option-forget = Borrar
option-keep-data = Conservar
forgotten = Borrado. Si escribe otra vez, empezamos de nuevo.
data-kept = No se borró nada.

ask-callback = ¿A qué número puede llamarlo el taller?
option-no-call = No hace falta llamar
number-passed-on = Gracias. El taller tiene el número.
staff-number = El número para llamar: { $name }, { $phone }.

## Para el taller
too-fast = Es mucho de una vez. Lo tengo todo, y sigo en más o menos un minuto.
apology = Perdón, algo falló de nuestro lado con ese mensaje. Llame al { $phone }, por favor.
contact-share = Compartir mi número
contact-hint = Toque el botón de abajo para compartir su número, o escríbalo.
staff-chat-linked = Este chat es ahora el del personal del taller. Aquí llegan las solicitudes.
staff-chat-not-linked = Ese código ya no vale. Haga uno nuevo en la página del mostrador.
staff-commands =
    En este chat: /requests, /today, /tomorrow, /due, /blocks
    /accept SOLICITUD, /times SOLICITUD, /decline SOLICITUD POR QUÉ, /cancel SOLICITUD POR QUÉ, /say SOLICITUD PALABRAS
    /move SOLICITUD DÍA HORA, /longer SOLICITUD HORAS
    /here SOLICITUD, /missed SOLICITUD, /start SOLICITUD
    /more SOLICITUD QUÉ COSTO, /approved SOLICITUD yes, no o números, cómo, quién
    /close SOLICITUD MILLAS METAL (metal: none, doubtful o metal), /phoned SOLICITUD
    /block BAHÍA O PERSONA DÍA HORAS POR QUÉ, /unblock BLOQUEO, /enter NOMBRE, TELÉFONO, /papers SOLICITUD
    Una orden sin lo demás dice cómo se escribe.
staff-line = { $id }: { $time } { $bay }, { $truck }, { $owner }: { $work } ({ $state })
staff-due-line = { $date }: { $kind }, { $owner }, { $phone }
staff-close-how = Para cerrarla: /close { $id } MILLAS METAL, como /close { $id } 92400 none. Metal en la válvula dosificadora y el filtro: none, doubtful o metal.
staff-say-how = Para escribir a un dueño: /say SOLICITUD PALABRAS
staff-accept = Aceptar
staff-other-time = Otra hora
staff-decline = Rechazar
staff-call = Yo llamo
staff-accepted = Aceptado por { $by }: { $truck }, { $time }.
staff-declined = Rechazado por { $by }: { $truck }, { $time }.
staff-offered = { $by } ofreció { $time } para { $truck }. Falta la respuesta del dueño.
staff-owner-took = El dueño la toma: { $truck }, { $time }. Confirmado.
staff-moved = Cambiado por { $by }: { $truck }, ahora { $time }.
staff-shop-cancelled = Cancelado por { $by }: { $truck }, { $time }.
staff-arrived = Llegó: { $truck }. Anotado por { $by }.
staff-in-work = En trabajo: { $truck }. Anotado por { $by }.
staff-no-show = No se presentó: { $truck }, { $time }. Anotado por { $by }.
staff-calling = { $by } llama al { $phone } por { $truck }.
staff-closed = Cerrado por { $by }: { $truck }. El dueño tiene el registro.
staff-metal-phone = Se encontró metal en { $truck }. No arranquen el motor; guarden las piezas y una muestra del combustible. Llamen ya al dueño: { $phone }. El asistente escribe cuando hayan llamado, o después de { $hours } horas.
staff-times = Horas libres para { $truck }; al tocar se ofrece al dueño:
staff-move-wanted = El dueño quiere cambiar { $truck } a { $time }.
staff-cancelled = Cancelado por el dueño: { $truck }, { $time }.
staff-edited = El dueño corrigió un mensaje sobre { $truck }: "{ $words }"
staff-unanswered = Todavía sin respuesta: { $truck }, { $time }.
staff-unanswered-told = Todavía sin respuesta: { $truck }, { $time }. Al dueño se le dijo que llame.
staff-no-request = Esa solicitud ya no está.
staff-opted-out = Un dueño con solicitud abierta terminó todos los mensajes. Para lo demás, por teléfono: { $phone }.
staff-unreachable = Un dueño con solicitud abierta no se alcanza por chat. Teléfono: { $phone }.
staff-person-wanted = Piden una persona: { $name }, { $phone }, { $truck }. { $words }
no-name = sin nombre todavía
no-phone = sin número todavía
sheet-head = Solicitud: { $truck } – { $urgency }
sheet-contact = { $name }, { $phone }
sheet-time = Pedido: { $time }
sheet-words = En palabras del dueño:
    { $words }
sheet-symptoms = Queja: { $symptoms }
sheet-fact = { $fact } ({ $source })
sheet-fact-unsure = { $fact } ({ $source }, no seguro)
sheet-unknown = Desconocido, revisar al llegar: { $facts }
sheet-estimate = Estimado: { $total }

## Síntomas, como los diría una persona
symptom-no-crank = la marcha no gira el motor
symptom-cranks-no-start = el motor gira pero no arranca
symptom-hard-start = le cuesta arrancar
symptom-stalls = el motor se apaga
symptom-loss-of-power = menos fuerza
symptom-reduced-power-message = un mensaje de potencia reducida
symptom-surging = las revoluciones suben y bajan solas
symptom-rough-idle = tiembla en ralentí
symptom-knock = el motor golpetea
symptom-pump-whine = la bomba de combustible chilla
symptom-black-smoke = humo negro del escape
symptom-white-smoke = humo blanco del escape
symptom-blue-smoke = humo azul del escape
symptom-fuel-smell = olor a combustible
symptom-fuel-leak = fuga de combustible
symptom-metal-in-fuel = metal en el combustible
symptom-water-in-fuel = agua en el combustible
symptom-wrong-fuel = combustible equivocado en el tanque
symptom-check-engine = la luz del motor prendida
symptom-low-fuel-pressure = baja presión de combustible
symptom-overheating = el motor se calienta de más
symptom-coolant-loss = pierde anticongelante
symptom-oil-leak = fuga de aceite
symptom-low-oil-pressure = baja presión de aceite
symptom-exhaust-smell-in-cab = olor a escape en la cabina
symptom-frequent-regeneration = regenera muy seguido
symptom-particulate-filter-warning = aviso del filtro de partículas
symptom-exhaust-fluid-warning = aviso del fluido de escape
symptom-turbo-noise = ruido del turbo
symptom-poor-economy = gasta más combustible que antes
symptom-runaway = el motor se acelera solo y no se apaga
symptom-fire-or-smoke = fuego, o humo bajo el cofre o la camioneta
symptom-brake-fault = algo anda mal con los frenos
symptom-steering-fault = algo anda mal con la dirección
symptom-charging-fault = no carga la batería
symptom-vibration = vibra al andar
symptom-transmission-slip = la transmisión patina
symptom-other = otra cosa

## Páginas
page-sheet-title = Hoja de servicio
page-talk = Lo hablado hasta ahora
page-skip = Ir a la hoja
page-write = Escriba aquí, con sus palabras
page-add-photo = Agregar foto
page-send = Mandar
page-choices = Respuestas para tocar
page-photo = Foto del dueño
page-file = Guardar { $name }
page-initials-owner = UD
page-initials-shop = TT
page-who-owner = Usted escribió
page-who-shop = Telltale, el asistente del taller
page-offline = Sin conexión. Lo que escribió sigue aquí; inténtelo de nuevo.
page-privacy = Esta hoja es solo para este navegador y el taller. En una emergencia llame a emergencias; el teléfono del taller es { $phone }.
page-fault = Algo falló de nuestro lado. Inténtelo de nuevo, o llame al { $phone }.
page-refused = Eso no se pudo tomar. Revíselo e inténtelo de nuevo, por favor.
page-missing = No existe esa página.
post-empty = Escriba algo o agregue una foto.
post-bad-button = Ese botón ya no se puede usar.
post-too-many-photos = A lo más cinco fotos a la vez, por favor.
post-stopped = La página se cierra un momento. Inténtelo de nuevo en breve.
post-too-large = Esa foto es demasiado grande.
post-not-a-picture = Ese archivo no es una foto que se pueda leer.
post-broken = Esa foto está dañada.

## Datos, como los lee el taller
fact-modelyear = año modelo
fact-enginelitres = motor, litros
fact-cylinders = cilindros
fact-layout = disposición
fact-fuel = combustible
fact-odometermiles = odómetro
fact-vin = VIN
fact-symptoms = queja
fact-deniedsymptoms = dice que no hay
fact-troublecodes = códigos
fact-intent = pedido
fact-unsure = no seguro
fact-enginefamily = familia de motor
fact-milesperyear = millas al año
fact-tows = jala remolque
fact-lastfuelfiltermiles = último filtro de combustible, millas
fact-lastfuelfilterdate = último filtro de combustible, fecha
fact-breatheroriginal = filtro del respiradero de fábrica
fact-pumpprotected = kit de protección puesto
fact-pumpreplaced = bomba cambiada por otro diseño
fact-metalfound = metal en el combustible
fact-pumpfittedatmiles = bomba actual puesta a las, millas
fact-lastoilchangemiles = último cambio de aceite, millas
fact-oilchangeintervalmiles = cambio de aceite cada, millas
fact-inservicedate = primer registro
fact-coverage = garantía o campaña
fact-line = { $name }: { $value }
value-none = ninguno
