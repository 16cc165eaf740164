"""What S-101 calls what S-57 calls otherwise: features and attributes.

Names: IHO S-101 feature catalogues 1.1.0 to 2.1.0 (`BuoyLateral` became `LateralBuoy`); what they
stand for in S-57: IHO S-57 edition 3.1, appendix A. Codes of attributes are the same numbers in
both, with more of them in S-101. A feature that does not stand here keeps its name, and is not
assessed where the corridor touches it.
"""

from __future__ import annotations

_MARKS = {
    **{"Lateral": ("BOYLAT", "BCNLAT"), "Cardinal": ("BOYCAR", "BCNCAR")},
    **{"IsolatedDanger": ("BOYISD", "BCNISD"), "SafeWater": ("BOYSAW", "BCNSAW")},
    "SpecialPurposeGeneral": ("BOYSPP", "BCNSPP"),
}
NEW_WRECK = frozenset({"EmergencyWreckMarkingBuoy", "BuoyEmergencyWreckMarking"})
ZONE_OR_LINE = "SeparationZoneOrLine"
NO_BOTTOM = "DepthNoBottomFound"
SECTORED = "LightSectored"
CLASSES = {
    # names that turned round between the editions
    **{f"Buoy{kind}": buoy for kind, (buoy, _) in _MARKS.items()},
    **{f"{kind}Buoy": buoy for kind, (buoy, _) in _MARKS.items()},
    **{f"Beacon{kind}": beacon for kind, (_, beacon) in _MARKS.items()},
    **{f"{kind}Beacon": beacon for kind, (_, beacon) in _MARKS.items()},
    **dict.fromkeys(NEW_WRECK, "BOYSPP"),
    **dict.fromkeys(("BuoyInstallation", "InstallationBuoy"), "BOYINB"),
    # depths and dangers
    **{"DepthArea": "DEPARE", "DredgedArea": "DRGARE", "DepthContour": "DEPCNT"},
    **{"Sounding": "SOUNDG", NO_BOTTOM: "SOUNDG", "UnsurveyedArea": "UNSARE"},
    **{"SweptArea": "SWPARE", "UnderwaterAwashRock": "UWTROC", "Wreck": "WRECKS"},
    **{"Obstruction": "OBSTRN", "FoulGround": "OBSTRN", "Gridiron": "GRIDRN"},
    **{"MarineFarmCulture": "MARCUL", "FishingFacility": "FSHFAC", "SeabedArea": "SBDARE"},
    # land, and what stands in the water
    **{"LandArea": "LNDARE", "Coastline": "COALNE", "ShorelineConstruction": "SLCONS"},
    **{"Rapids": "RAPIDS", "Waterfall": "WATFAL", "Pile": "PILPNT", "Pontoon": "PONTON"},
    **{"Dolphin": "MORFAC", "Bollard": "MORFAC", "MooringBuoy": "MORFAC"},
    **{"MooringWarpingFacility": "MORFAC", "OffshorePlatform": "OFSPLF", "Hulk": "HULKES"},
    **{"FloatingDock": "FLODOC", "Dam": "DAMCON", "Dyke": "DYKCON", "Causeway": "CAUSWY"},
    **{"DryDock": "DRYDOC", "PylonBridgeSupport": "PYLONS", "OilBarrier": "OILBAR"},
    **{"LogPond": "LOGPON", "LightFloat": "LITFLT", "LightVessel": "LITVES"},
    **{"Landmark": "LNDMRK", "WindTurbine": "LNDMRK", "Building": "BUISGL"},
    **{"SiloTank": "SILTNK", "FortifiedStructure": "FORSTC", "Crane": "CRANES"},
    **{"FenceWall": "FNCLNE", "Runway": "RUNWAY", "Gate": "GATCON", "Tunnel": "TUNNEL"},
    # overhead
    **{"Bridge": "BRIDGE", "SpanFixed": "BRIDGE", "SpanOpening": "BRIDGE"},
    **{"CableOverhead": "CBLOHD", "PipelineOverhead": "PIPOHD", "Conveyor": "CONVYR"},
    "StructureOverNavigableWater": "CONVYR",
    # areas and routeing
    **dict.fromkeys(
        ("RestrictedArea", "RestrictedAreaNavigational", "RestrictedAreaRegulatory"), "RESARE"
    ),
    **{"CautionArea": "CTNARE", "InformationArea": "CTNARE", "MilitaryPracticeArea": "MIPARE"},
    **{"OffshoreProductionArea": "OSPARE", "ProductionStorageArea": "PRDARE"},
    **{"SeaplaneLandingArea": "SPLARE", "SubmarineTransitLane": "SUBTLN"},
    **{"AnchorageArea": "ACHARE", "MooringArea": "ACHARE", "AnchorBerth": "ACHBRT"},
    **{"CargoTranshipmentArea": "CTSARE", "IncinerationArea": "ICNARE", ZONE_OR_LINE: "TSEZNE"},
    **{"TrafficSeparationSchemeLanePart": "TSSLPT", "TrafficSeparationSchemeCrossing": "TSSCRS"},
    "TrafficSeparationSchemeRoundabout": "TSSRON",
    "TrafficSeparationSchemeBoundary": "TSSBND",
    **{"PrecautionaryArea": "PRCARE", "InshoreTrafficZone": "ISTZNE"},
    **{"DeepWaterRoutePart": "DWRTPT", "DeepWaterRouteCentreline": "DWRTCL"},
    **{"TwoWayRoutePart": "TWRTPT", "RecommendedTrafficLanePart": "RCTLPT"},
    **{"RecommendedRouteCentreline": "RCRTCL", "RecommendedTrack": "RECTRC"},
    **{"Fairway": "FAIRWY", "FerryRoute": "FERYRT", "LockBasin": "LOKBSN"},
    **{"NavigationLine": "NAVLNE", "CableSubmarine": "CBLSUB", "CableArea": "CBLARE"},
    **{"PipelineSubmarineOnLand": "PIPSOL", "SubmarinePipelineArea": "PIPARE"},
    **{"DumpingGround": "DMPGRD", "Sandwave": "SNDWAV", "FishingGround": "FSHGRD"},
    **{"IceArea": "ICEARE", "WaterTurbulence": "WATTUR", "WeedKelp": "WEDKLP"},
    "Seagrass": "WEDKLP",
    # what the cell says of itself
    **{"DataCoverage": "M_COVR", "QualityOfBathymetricData": "M_QUAL"},
    **{"NavigationalSystemOfMarks": "M_NSYS", "LocalDirectionOfBuoyage": "M_NSYS"},
    **{"SoundingDatum": "M_SDAT", "VerticalDatumOfData": "M_VDAT", "QualityOfSurvey": "M_SREL"},
    "QualityOfNonBathymetricData": "M_ACCY",
    # fitted to marks and structures
    **{"LightAllAround": "LIGHTS", SECTORED: "LIGHTS", "LightAirObstruction": "LIGHTS"},
    **{"LightFogDetector": "LIGHTS", "Daymark": "DAYMAR", "FogSignal": "FOGSIG"},
    **{"Retroreflector": "RETRFL", "RadarReflector": "RADRFL", "DistanceMark": "DISMAR"},
    # names, limits, jurisdiction
    **{"AdministrationArea": "ADMARE", "ContiguousZone": "CONZNE", "CustomZone": "CUSZNE"},
    **{"ContinentalShelfArea": "COSARE", "ExclusiveEconomicZone": "EXEZNE"},
    **{"FreePortArea": "FRPARE", "FisheryZone": "FSHZNE", "HarbourAreaAdministrative": "HRBARE"},
    **{"SeaAreaNamedWaterArea": "SEAARE", "StraightTerritorialSeaBaseline": "STSLNE"},
    **{"TerritorialSeaArea": "TESARE", "ArchipelagicSeaLaneArea": "ARCSLN"},
    **{"ArchipelagicSeaLaneAxis": "ASLXIS", "CollisionRegulationsLimit": "ADMARE"},
    **{"MarinePollutionRegulationsArea": "ADMARE", "PilotageDistrict": "ADMARE"},
    "VesselTrafficServiceArea": "ADMARE",
    # ashore
    **{"AirportAirfield": "AIRARE", "Helipad": "AIRARE", "BuiltUpArea": "BUAARE"},
    **{"LandElevation": "LNDELV", "LandRegion": "LNDRGN", "Railway": "RAILWY", "Road": "ROADWY"},
    **{"SlopeTopline": "SLOTOP", "SlopingGround": "SLOGRD"},
    # services, radio, the way the water moves
    **{"Berth": "BERTHS", "CoastGuardStation": "CGUSTA", "Checkpoint": "CHKPNT"},
    **{"HarbourFacility": "HRBFAC", "PilotBoardingPlace": "PILBOP", "RescueStation": "RSCSTA"},
    **{"SignalStationTraffic": "SISTAT", "SignalStationWarning": "SISTAW"},
    **{"SmallCraftFacility": "SMCFAC", "RadarLine": "RADLNE", "RadarRange": "RADRNG"},
    **{"RadarStation": "RADSTA", "RadioCallingInPoint": "RDOCAL", "RadioStation": "RDOSTA"},
    **{"PhysicalAISAidToNavigation": "RDOSTA", "RadarTransponderBeacon": "RTPBCN"},
    **{"CurrentNonGravitational": "CURENT", "TidalStreamFloodEbb": "TS_FEB"},
    **{"TidalStreamPanelData": "TS_PAD", "Spring": "SPRING", "Vegetation": "VEGATN"},
    **{"Canal": "CANALS", "Lake": "LAKARE", "River": "RIVERS", "Tideway": "TIDEWY"},
    **{"DockArea": "DOCARE", "LocalMagneticAnomaly": "LOCMAG", "MagneticVariation": "MAGVAR"},
    **{"TextPlacement": "$TEXTS", "UpdateInformation": "M_PROD"},
}
TIES = frozenset(
    {"TrafficSeparationScheme", "RangeSystem", "MooringTrot", "FairwaySystem", "DeepWaterRoute"}
    | {"TwoWayRoute", "ArchipelagicSeaLane", "IslandGroup", "Bridge"}
)
"""Features that tie others together where they have no place of their own."""

NUMBERS = {
    **{
        "DRVAL1": ("depthRangeMinimumValue", "minimumBerthDepth"),
        "DRVAL2": ("depthRangeMaximumValue",),
    },
    **{"VALDCO": ("valueOfDepthContour",), "VALSOU": ("valueOfSounding",)},
    **{"WATLEV": ("waterLevelEffect",), "EXPSOU": ("expositionOfSounding",)},
    **{"CATWRK": ("categoryOfWreck",), "CATOBS": ("categoryOfObstruction",)},
    **{"CATFIF": ("categoryOfFishingFacility",), "CATMFA": ("categoryOfMarineFarmCulture",)},
    **{"CATLAM": ("categoryOfLateralMark",), "CATCAM": ("categoryOfCardinalMark",)},
    **{
        "MARSYS": ("marksNavigationalSystemOf",),
        "ORIENT": ("orientationValue", "orientation.orientationValue"),
    },
    **{"VERCLR": ("verticalClearanceFixed.verticalClearanceValue", "verticalClearanceFixed")},
    **{"VERCCL": ("verticalClearanceClosed.verticalClearanceValue",)},
    **{"VERCOP": ("verticalClearanceOpen.verticalClearanceValue",)},
    **{"VERCSA": ("verticalClearanceSafe.verticalClearanceValue",)},
    **{"VERDAT": ("verticalDatum",), "HEIGHT": ("height",), "CATFRY": ("categoryOfFerry",)},
    **{"CATWED": ("categoryOfWeedKelp",), "CATWAT": ("categoryOfWaterTurbulence",)},
    **{"CATMOR": ("categoryOfMooringWarpingFacility",), "CATINB": ("categoryOfInstallationBuoy",)},
    **{"CATGAT": ("categoryOfGate",), "CATSLC": ("categoryOfShorelineConstruction",)},
    **{"TRAFIC": ("trafficFlow",), "BOYSHP": ("buoyShape",), "CATPYL": ("categoryOfPylon",)},
    **{"CATNAV": ("categoryOfNavigationLine",), "VALNMR": ("valueOfNominalRange",)},
    "HORCLR": (
        "horizontalClearanceFixed.horizontalClearanceValue",
        "horizontalClearanceOpen.horizontalClearanceValue",
        "horizontalClearance",
    ),
    **{"LITCHR": ("rhythmOfLight.lightCharacteristic",), "SIGPER": ("rhythmOfLight.signalPeriod",)},
}
"""S-57 attribute: where it stands in S-101, through complex attributes parted by full stops."""
CODES = {
    "QUASOU": ("qualityOfVerticalMeasurement", "qualityOfSoundingMeasurement"),
    "TECSOU": ("techniqueOfVerticalMeasurement", "techniqueOfSoundingMeasurement"),
    **{"COLOUR": ("colour",), "COLPAT": ("colourPattern",), "RESTRN": ("restriction",)},
    **{"CATREA": ("categoryOfRestrictedArea",), "STATUS": ("status",)},
    "CATBRG": ("categoryOfBridge", "categoryOfOpeningBridge"),
    **{"CATSPM": ("categoryOfSpecialPurposeMark",), "CATPIP": ("categoryOfPipelinePipe",)},
    **{"CATLMK": ("categoryOfLandmark",), "CATDPG": ("categoryOfDumpingGround",)},
    **{"CATCBL": ("categoryOfCable",), "CATMPA": ("categoryOfMilitaryPracticeArea",)},
    **{"CATACH": ("categoryOfAnchorage",), "NATSUR": ("natureOfSurface",)},
}
"""Lists of codes: a simple attribute that is repeated."""
TEXTS = {
    **{"DATSTA": ("fixedDateRange.dateStart",), "DATEND": ("fixedDateRange.dateEnd",)},
    **{"PERSTA": ("periodicDateRange.dateStart",), "PEREND": ("periodicDateRange.dateEnd",)},
    **{"SURSTA": ("surveyDateRange.dateStart",), "SUREND": ("surveyDateRange.dateEnd",)},
    "SIGGRP": ("rhythmOfLight.signalGroup",),
}
