import type { FileKind } from '../contract/receipt.ts'
import type { Meaning } from './meaning.ts'

/**
 * Meaning → headings in English, German, French, Italian and Spanish, as `plainHeading` leaves them: without
 * accents, spaces and signs. A heading after "|" is taken only where no other is there.
 */
type Vocabulary = readonly (readonly [Meaning, string])[]

const DRAWING: Vocabulary = [
  [
    'partNumber',
    'partnumber partno partnr pn drawing drawingnumber drawingno article articlenumber articleno ' +
      'teilenummer teilenr zeichnungsnummer zeichnungsnr zeichnung sachnummer sachnr artikelnummer artikelnr artikel ' +
      'numeropiece numerodepiece referencepiece referencedepiece numerodeplan noplan plan reference numeroarticle ' +
      'numeroparte codiceparticolare numerodisegno numerodidisegno disegno codicearticolo ' +
      'numerodepieza numpieza referencia referenciadepieza numerodeplano plano codigopieza | part teil teilnr piece pezzo particolare pieza',
  ],
  [
    'revision',
    'revision rev drawingrevision partrevision aenderungsstand anderungsstand zeichnungsstand indice indiceplan revisione indicerevisione',
  ],
  [
    'partName',
    'partname partdescription teilename teilebezeichnung nompiece designationpiece nomeparticolare nombrepieza',
  ],
]

const UNIT =
  'unit units uom unitofmeasure einheit masseinheit unite unitedemesure unitamisura unitadimisura unita unidad unidaddemedida'

const REQUIREMENT: Vocabulary = [
  [
    'kind',
    'kind characteristickind characteristictype featuretype merkmalsart typcaracteristique typedecaracteristique ' +
      'tipocaratteristica tipodicaratteristica tipocaracteristica tipodecaracteristica',
  ],
  ['axis', 'axis buildaxis direction achse axe asse eje'],
  [
    'nominal',
    'nominal nom nominalvalue nominalsize basicdimension target soll sollwert sollmass nennmass nennwert nominalmass ' +
      'cotenominale valeurnominale nominale valorenominale quotanominale valornominal cotanominal',
  ],
  [
    'lower',
    'lower lsl ltl lowerlimit lowerspec lowerspeclimit lowerspecificationlimit min minimum ' +
      'usg ugw untergrenze unteregrenze untererspezifikationsgrenze untererspezifikationsgrenzwert unterergrenzwert mindestmass kleinstmass ' +
      'limiteinferieure liminf tolinfabsolue coteminimale coteminimum mini limiteinferiore minimo limiteinferior',
  ],
  [
    'upper',
    'upper usl utl upperlimit upperspec upperspeclimit upperspecificationlimit max maximum ' +
      'osg ogw obergrenze oberegrenze oberespezifikationsgrenze obererspezifikationsgrenze oberergrenzwert hoechstmass hochstmass grosstmass groesstmass ' +
      'limitesuperieure limsup cotemaximale cotemaximum maxi limitesuperiore massimo limitesuperior maximo',
  ],
  [
    'tolerance',
    'tolerance tol plusminus plusminustol plusminustolerance tolplusminus toleranz tolleranza tolerancia',
  ],
  [
    'plusTolerance',
    'plustolerance plustol tolplus toleranceplus uppertolerance uppertol upperdeviation uppertollimit plus ' +
      'oberetoleranz oberetol oberesabmass toleranzplus plustoleranz otol ot oto ' +
      'tolerancesuperieure tolerancesup tolsup ecartsuperieur tolleranzasuperiore tollsup scostamentosuperiore toleranciasuperior desviacionsuperior',
  ],
  [
    'minusTolerance',
    'minustolerance minustol tolminus toleranceminus lowertolerance lowertol lowerdeviation lowertollimit minus ' +
      'unteretoleranz unteretol unteresabmass toleranzminus minustoleranz utol ut uto ' +
      'toleranceinferieure toleranceinf tolinf ecartinferieur tolleranzainferiore tollinf scostamentoinferiore toleranciainferior desviacioninferior',
  ],
  ['unit', UNIT],
]

/**
 * Words of a heading that say that its numbers belong to the part and not to the drawing, without accents, in English,
 * German, French, Italian and Spanish; see `own-limit-heading.ts`. M and L in a circle are the modifiers of ISO 2692.
 */
export const OWN_LIMIT_WORDS = {
  bonus: ['bonus tolerance', 'bonustoleranz', 'tolerance bonus', 'tolleranza bonus', 'tolerancia bonus', 'bonus'],
  material: [
    'maximum material condition', 'maximum material requirement', 'maximum material', 'max material',
    'least material condition', 'least material requirement', 'least material', 'mmc', 'mmr', 'mmb', 'lmc', 'lmr', 'lmb',
    'maximum material bedingung', 'minimum material bedingung', 'maximal material bedingung', 'maximalmaterialbedingung',
    'minimummaterialbedingung', 'maximummaterialbedingung', 'exigence du maximum de matiere',
    'maximum de matiere', 'minimum de matiere', 'massimo materiale', 'minimo materiale', 'condizione di massimo materiale',
    'maximo material', 'minimo material', 'condicion de maximo material',
  ],
  ofThePart: [
    'own', 'individual', 'of this part', 'of the part', 'per part', 'part specific', 'teilebezogen', 'je teil',
    'individuell', 'eigen', 'eigene', 'de la piece', 'par piece', 'propre', 'del pezzo', 'per pezzo', 'proprio', 'propria',
    'de la pieza', 'por pieza', 'propio', 'propia',
  ],
  including: [
    'including', 'incl', 'with', 'total', 'available', 'permitted', 'allowed', 'inkl', 'einschliesslich', 'mit', 'gesamt',
    'zulaessig', 'zulassig', 'zulaessige', 'zulassige', 'erlaubt', 'avec', 'y compris', 'totale', 'admissible', 'con', 'incluso', 'inclusa', 'ammessa',
    'incluido', 'incluida', 'admisible',
  ],
  limit: [
    'limit', 'tolerance', 'tol', 'spec', 'zone', 'grenze', 'grenzwert', 'toleranz', 'gesamttoleranz', 'limite', 'tolleranza',
    'tolerancia',
  ],
} as const // biome-ignore format: lists of words read better in lines

const CHARACTERISTIC: Vocabulary = [
  [
    'characteristic',
    'characteristic designator balloon balloonnumber balloonno balloonid characteristicid characteristicno ' +
      'characteristicnumber char charno featureid featureno featurenumber ' +
      'merkmal merkmalnr merkmalsnr merkmalnummer merkmalsnummer pruefmerkmal prufmerkmal stempelnummer positionsnummer ' +
      'caracteristique numerocaracteristique numerodecaracteristique repere numerorepere caratteristica numerocaratteristica ' +
      'numerodicaratteristica numeropallino quota caracteristica numerocaracteristica numerodecaracteristica globo cota | feature dimension dim dimensionno mass masse cote element elemento',
  ],
  [
    'characteristicName',
    'characteristicname featurename dimensionname name merkmalname merkmalsname merkmalbezeichnung merkmalsbezeichnung bezeichnung benennung ' +
      'nomcaracteristique designation nom nomecaratteristica nome denominazione nombrecaracteristica nombre denominacion ' +
      '| feature dimension description beschreibung descrizione descripcion libelle',
  ],
]

const BUILD =
  'build buildid buildname buildno buildnumber job jobid jobname jobno jobnumber printjob ' +
  'baujob baujobnr baujobnummer druckjob druckauftrag bauauftrag fabrication lotfabrication lotdefabrication ' +
  'numerodefabrication impression numeroimpression stampa lavoro lavorodistampa numerostampa numerodistampa ' +
  'fabricacion numerodefabricacion trabajo trabajodeimpresion impresion numeroimpresion numerodeimpresion'
const LOAD =
  'furnaceload furnaceloadid load loadid loadno loadnumber furnacerun furnacecharge charge sinterload sinterrun sinteringrun ' +
  'ofencharge ofenfahrt ofenladung sinterfahrt sintercharge fournee chargefour chargedefour caricaforno caricadelforno ' +
  'carica infornata cargahorno cargadehorno cargadelhorno hornada'
const VALUE =
  'value actual actualvalue measured measuredvalue measurement result reading meas observed ' +
  'ist istwert istmass messwert wert ergebnis messergebnis ' +
  'valeur valeurmesuree mesure resultat releve valore valoremisurato misura misurato risultato rilevato ' +
  'valor valormedido medida medido medicion resultado'
const MEASURED_AT =
  'measuredat measuredon date datetime timestamp measurementdate dateofmeasurement inspectiondate inspectedat ' +
  'datum messdatum pruefdatum prufdatum datumzeit zeitstempel gemessenam datemesure datedemesure datecontrole datedecontrole horodatage ' +
  'data datamisura datadimisura datamisurazione dataora fecha fechamedicion fechademedicion fechayhora | time measuredtime measurementtime'
const GAUGE =
  'gauge gaugeid gage gageid instrument measuringinstrument measuringdevice measuredwith cmm ' +
  'messmittel pruefmittel prufmittel messgeraet messgerat kmg moyen moyendemesure mmt strumento calibro instrumento equipo'
const INSPECTOR =
  'inspector inspectedby measuredby operator appraiser pruefer prufer bediener messtechniker gemessenvon geprueftvon gepruftvon ' +
  'controleur operateur mesurepar ispettore operatore misuratoda operario operador medidopor'

export const VOCABULARIES: Readonly<Record<FileKind, Vocabulary>> = {
  measurements: [
    ...DRAWING,
    [
      'serial',
      'serial serialno serialnumber sn partserial partserialno partserialnumber partsn partid pieceid ' +
        'seriennummer seriennr snr teileid teilid werkstueck werkstuck ' +
        'numerodeserie numeroserie noserie nodeserie ndeserie numserie nserie numerodiserie ndiserie numeroseriale seriale matricola identifiantpiece ' +
        '| part piece teil teilnr pezzo pieza particolare',
    ],
    ['build', BUILD],
    ['furnaceLoad', LOAD],
    ['tray', 'tray trayid trayno setter shelf horde sinterhorde plateau vassoio piatto bandeja'],
    [
      'trayPlace',
      'trayplace trayposition traypos traylocation place hordenplatz platz emplacement postovassoio posicionbandeja',
    ],
    ['bedX', 'bedx xbed bedpositionx xinbed bauraumx xbauraum'],
    ['bedY', 'bedy ybed bedpositiony yinbed bauraumy ybauraum'],
    ['bedZ', 'bedz zbed bedpositionz zinbed bauraumz zbauraum'],
    ...CHARACTERISTIC,
    ...REQUIREMENT,
    ['value', VALUE],
    [
      'deviation',
      'deviation dev devnominal deviationfromnominal error abweichung abw sollistabweichung istabweichung ' +
        'ecart ecartnominal deviationnominale scostamento deviazione scarto desviacion',
    ],
    [
      'replicate',
      'replicate replicateno repeat repetition trial wiederholung wiederholmessung repetitionno ripetizione repeticion',
    ],
    ['stage', 'stage state processstage measuredstate zustand stufe etat etape stato fase estado etapa'],
    ['measuredAt', MEASURED_AT],
    [
      'timeOfDay',
      '| time timeofday measuredtime measurementtime uhrzeit zeit messzeit heure ora orario hora',
    ],
    ['gauge', GAUGE],
    ['inspector', INSPECTOR],
  ],
  characteristics: [
    ...DRAWING,
    ...CHARACTERISTIC,
    ...REQUIREMENT,
    [
      'ownLimits',
      // Not "MMC" or "maximum material": these may head the size there.
      'ownlimits ownlimit limitsperpart limitperpart perpartlimits bonus bonustolerance materialcondition materialmodifier ' +
        'eigenegrenzen grenzenjeteil grenzejeteil bonustoleranz materialbedingung limitespropres limiteparpiece tolerancebonus ' +
        'limitipropri limiteperpezzo tolleranzabonus limitespropios limiteporpieza toleranciabonus',
    ],
  ],
  builds: [
    ['build', BUILD],
    [
      'printedAt',
      'printedat printedon printed printdate builddate buildstart started startedat start date datetime ' +
        'druckdatum gedrucktam baustart datum dateimpression datastampa data fechaimpresion fecha',
    ],
    ['printer', 'printer printerid machine drucker maschine imprimante stampante macchina impresora maquina'],
    ['buildBox', 'buildbox box jobbox baubox baubehaelter baubehalter bac cassa caja'],
    [
      'powderLot',
      'powderlot powderbatch lot batch powder pulvercharge pulverlos pulver lotpoudre lottopolvere lotepolvo',
    ],
    [
      'powderReuse',
      'powderreuse powderreusecount reuse reusecount timesreclaimed reclaimed wiederverwendung reutilisation riutilizzo reutilizacion',
    ],
    [
      'scaleX',
      'scalex xscale scalefactorx xscalefactor skalierungx skalierungsfaktorx facteurx fattorex factorx',
    ],
    ['scaleY', 'scaley yscale scalefactory yscalefactor skalierungy skalierungsfaktory facteury fattorey'],
    [
      'scaleZ',
      'scalez zscale scalefactorz zscalefactor skalierungz skalierungsfaktorz facteurz fattorez factorz',
    ],
  ],
  'furnace-loads': [
    ['furnaceLoad', LOAD],
    [
      'sinteredAt',
      'sinteredat sinteredon sintered sinterdate sinteringdate started startedat start date datetime ' +
        'sinterdatum gesintertam datum datefrittage datasinterizzazione data fechasinterizado fecha',
    ],
    ['furnace', 'furnace furnaceid oven ofen four forno horno'],
    [
      'profile',
      'profile furnaceprofile sinterprofile program cycle recipe profil programm programme profilo programma perfil programa',
    ],
    ['atmosphere', 'atmosphere gas atmosphaere atmosphare atmosfera'],
  ],
  'gauge-study': [
    // Our own measuring sheet names its plan in every row, so that rows can be sorted or left out.
    ['studyPlan', 'studyplan'],
    [
      'studyPart',
      'part partid sample sampleno samplenumber sampleid piece specimen checkpart checkstandard masterpart referencepart ' +
        'teil teilid pruefteil prufteil muster musterteil werkstueck werkstuck kontrollteil referenzteil ' +
        'echantillon piecedecontrole pezzo campione campionedicontrollo pieza muestra piezadecontrol',
    ],
    [
      'trial',
      'trial trialno trialnumber repeat repetition replicate replicateno ' +
        'versuch versuchnr versuchsnummer messreihe durchgang wiederholung wiederholmessung ' +
        'essai numeroessai prova numeroprova ripetizione ensayo numeroensayo repeticion',
    ],
    [
      'reference',
      'referencevalue knownvalue truevalue mastervalue certifiedvalue referenzwert kalibrierwert ' +
        'valeurdereference valeurreference valeurconnue valorediriferimento valoreriferimento ' +
        'valordereferencia valorreferencia',
    ],
    ['value', VALUE],
    ['inspector', INSPECTOR],
    ['gauge', GAUGE],
    ['measuredAt', MEASURED_AT],
    ['unit', UNIT],
    ...CHARACTERISTIC,
    ...DRAWING,
  ],
  gauges: [
    ['gauge', `${GAUGE} gaugename name bezeichnung nom nome nombre`],
    ['gaugeKind', 'kind type gaugekind gaugetype gagetype art typ messmittelart genre tipo'],
    [
      'resolution',
      'resolution step readability aufloesung auflosung ziffernschritt skalenwert risoluzione resolucion',
    ],
    [
      'uncertainty',
      'uncertainty expandeduncertainty calibrationuncertainty messunsicherheit unsicherheit ' +
        'incertitude incertitudeelargie incertezza incertezzaestesa incertidumbre incertidumbreexpandida',
    ],
    [
      'coverageFactor',
      'coveragefactor k erweiterungsfaktor facteurdelargissement fattoredicopertura factordecobertura',
    ],
    [
      'certificate',
      'certificate certificateno certificatenumber kalibrierschein certificat certificato certificado',
    ],
    [
      'calibratedOn',
      'calibrated calibratedon calibrationdate lastcalibration kalibriert kalibriertam kalibrierdatum ' +
        'datecalibration datedetalonnage datataratura datacalibrazione fechacalibracion',
    ],
    [
      'due',
      'due dueon duedate duefor nextcalibration calibrationdue faellig fallig faelligam falligam naechstekalibrierung nachstekalibrierung ' +
        'echeance prochainetalonnage scadenza prossimataratura vencimiento proximacalibracion',
    ],
    ['unit', UNIT],
    [
      'characteristic',
      'characteristics characteristic designators merkmale merkmal caracteristiques caratteristiche caracteristicas',
    ],
    ...DRAWING,
  ],
}
